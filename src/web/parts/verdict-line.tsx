import type { Lab } from '../../core/colour/triples.ts';
import { sideInWords, sidesOf, type Verdict } from '../../core/verdict/verdict.ts';
import { FigureRow } from './figure-row.tsx';

/** The verdict in words, with its numbers behind *Details*. */
export function VerdictLine({
  verdict,
  aim,
  made,
  live = false,
}: {
  readonly verdict: Verdict;
  readonly aim: Lab;
  readonly made: Lab;
  /** Read aloud by screen readers whenever it changes. */
  readonly live?: boolean;
}) {
  const [head] = verdict.sentence.split(/[,;]/, 1);
  const tail = verdict.sentence.replace(/^[^,;]*/, '').replace(/^[,;]\s*/, '');
  return (
    <div className="sample">
      <p className="verdict" aria-live={live ? 'polite' : 'off'}>
        <strong>{upper(head)}</strong>
        {tail === '' ? 'No visible difference from the wanted colour.' : `${upper(tail)}.`}
      </p>
      <details>
        <summary>Details</summary>
        <table className="figures">
          <tbody>
            <FigureRow
              name="Difference from the wanted colour"
              value={verdict.dE00.toFixed(2)}
              unit="dE00"
            />
            <FigureRow name="Uncertainty" value={`± ${verdict.plusMinus.toFixed(2)}`} unit="dE00" />
            <FigureRow
              name="Wanted, L* a* b*"
              value={aim.map((v) => v.toFixed(1)).join('  ')}
              unit="D50, 2°"
            />
            <FigureRow
              name="Mix, L* a* b*"
              value={made.map((v) => v.toFixed(1)).join('  ')}
              unit="D50, 2°"
            />
            {sidesOf(aim, made).map((side) => (
              <FigureRow
                key={side.word}
                name={sideInWords(side)}
                value={side.size.toFixed(2)}
                unit="dE00"
              />
            ))}
          </tbody>
        </table>
      </details>
    </div>
  );
}

function upper(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
