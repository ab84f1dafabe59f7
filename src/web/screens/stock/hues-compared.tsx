import { Link } from '@tanstack/react-router';
import { HUED_CHROMA } from '../../../core/colour/hue-gaps.ts';
import type { Lab } from '../../../core/colour/triples.ts';
import type { CompareLinesAnswer, GapFilled } from '../../../verbs/compare-lines.ts';
import { JobProgress } from '../../parts/job-progress.tsx';
import { Scrolled } from '../../parts/scrolled.tsx';
import { Tile } from '../../parts/tile.tsx';
import { count } from '../count.ts';
import type { LinesAsked } from './lines-asked.tsx';

/** Lines beside each other hue by hue, and which line fills the gaps of which. */
export function HuesCompared({
  asked: { compared: answer, what, fault },
}: {
  readonly asked: LinesAsked;
}) {
  if (fault !== undefined) return <p className="warning">{fault}</p>;
  if (answer === undefined) return what === undefined ? null : <JobProgress what={what} />;
  if (answer.lines.length === 0) return null;
  return (
    <>
      <HueTable answer={answer} />
      {answer.fills.every(({ by }) => by.length === 0) ? null : (
        <section className="stack" aria-labelledby="fills">
          <h2 id="fills">Which line fills which gaps</h2>
          {answer.fills.map((fill) => (
            <Fill
              key={fill.line}
              fill={fill}
              share={answer.lines.find(({ line }) => line === fill.line)?.share ?? 0}
            />
          ))}
        </section>
      )}
      <p className="actions">
        <Link to="/wishes">Which colours would help most?</Link>
      </p>
    </>
  );
}

function HueTable({ answer: { lines } }: { readonly answer: CompareLinesAnswer }) {
  const most = Math.max(
    1,
    ...lines.flatMap(({ hues }) => hues.map(({ strongest }) => strongest?.chroma ?? 0)),
  );
  const hues = lines[0].hues.map(({ hue }) => hue);
  return (
    <section className="stack" aria-labelledby="hues">
      <h2 id="hues">Hue by hue</h2>
      <p className="soft">
        Each bar is the strongest mix of the line in that hue. The longer the bar, the brighter the
        colour; greys have none. Clays that shimmer or let light through are left out.
      </p>
      <Scrolled label="Lines hue by hue" bench>
        <table className="hues">
          <thead>
            <tr>
              <td />
              {lines.map(({ line, share }) => (
                <th key={line} scope="col">
                  {line}
                  <span className="small">{Math.round(100 * share)} % of all colours here</span>
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {hues.map((hue, at) => (
              <tr key={hue}>
                <th scope="row">{hue}</th>
                {lines.map(({ line, hues: own }) => {
                  const { strongest, clays } = own[at];
                  return (
                    <td key={line}>
                      {strongest === undefined || strongest.chroma < HUED_CHROMA ? null : (
                        <span
                          className="hue-bar"
                          style={{ width: `${(100 * strongest.chroma) / most}%` }}
                        >
                          <Tile lab={strongest.lab} name={`Strongest ${hue} of ${line}`} />
                        </span>
                      )}
                      <span className="small">
                        {clays === 0 ? 'no block' : count(clays, 'block')}
                      </span>
                    </td>
                  );
                })}
              </tr>
            ))}
          </tbody>
        </table>
      </Scrolled>
      <details>
        <summary>Details</summary>
        <Scrolled label="Chroma hue by hue">
          <table className="figures">
            <thead>
              <tr>
                <th scope="col">Hue</th>
                {lines.map(({ line }) => (
                  <th key={line} scope="col">
                    {line}: mean chroma of blocks, of the strongest mix
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {hues.map((hue, at) => (
                <tr key={hue}>
                  <th scope="row">{hue}</th>
                  {lines.map(({ line, hues: own }) => (
                    <td key={line}>
                      {own[at].meanChroma?.toFixed(0) ?? '-'},{' '}
                      {own[at].strongest?.chroma.toFixed(0) ?? '-'}
                    </td>
                  ))}
                </tr>
              ))}
              <tr>
                <th scope="row">all blocks</th>
                {lines.map(({ line, meanChroma }) => (
                  <td key={line}>{meanChroma.toFixed(0)}</td>
                ))}
              </tr>
            </tbody>
          </table>
        </Scrolled>
      </details>
    </section>
  );
}

function Fill({
  fill: { line, by },
  share,
}: {
  readonly fill: GapFilled;
  /** Of all colours here that the line makes alone. */
  readonly share: number;
}) {
  const [best, ...others] = by;
  if (best === undefined) return null;
  const percent = (of: number) => Math.round(100 * of);
  const adds = percent(best.to) > percent(share);
  return (
    <div className="fill bench">
      <p>
        {adds
          ? `${line} alone makes ${percent(share)} % of all colours here, with ${best.line} ${percent(best.to)} %.`
          : `No other line adds colours to ${line}.`}
        {adds ? others.map((one) => ` With ${one.line}: ${percent(one.to)} %.`).join('') : ''}
        {best.blocks.length === 0 || !adds ? '' : ` These blocks of ${best.line} add most:`}
      </p>
      {!adds || best.blocks.length === 0 ? null : (
        <ul className="fill-blocks" aria-label={`Blocks of ${best.line} that help ${line} most`}>
          {best.blocks.map(({ clay, shown }) => (
            <FillBlock key={clay} name={clay} lab={shown} />
          ))}
        </ul>
      )}
    </div>
  );
}

function FillBlock({ name, lab }: { readonly name: string; readonly lab: Lab }) {
  return (
    <li>
      <Tile lab={lab} name={name} />
      <span className="small">{name}</span>
    </li>
  );
}
