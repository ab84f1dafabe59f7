import { VERDICT_LIMITS, type VerdictWord, verdictWord } from '../../../core/verdict/verdict.ts';
import { verdictHead } from '../../../core/verdict/verdict-in-words.ts';
import type { BuyingListAnswer, CostPoint } from '../../../verbs/buying-list-question.ts';
import { count } from '../count.ts';
import { moneyInWords } from '../stock/money.ts';

/** What the list costs the closer the mixes must come: a press on a row takes that list. */
export function CostPicture({
  answer: { frontier, currency, colours },
  chosen,
  onChoose,
}: {
  readonly answer: BuyingListAnswer;
  readonly chosen: VerdictWord;
  readonly onChoose: (word: VerdictWord) => void;
}) {
  if (frontier.length === 0) return null;
  const costOf = ({ costMinor, packages }: CostPoint) => costMinor ?? packages;
  const dearest = Math.max(1, ...frontier.map(costOf));
  const widest = Math.max(...frontier.map(({ tolerance }) => tolerance));
  const place = (dE00: number) => `${(100 * Math.min(dE00, widest)) / widest}%`;
  return (
    <section className="pile">
      <div className="pile-head">
        <h2>Closer or cheaper</h2>
        <p className="small">
          bar: what it costs; circle: how far off on average; square: at worst
        </p>
      </div>
      <ul className="cost-picture" aria-label="Closer or cheaper">
        {frontier.map((point) => {
          const word = wordAt(point.tolerance);
          const { packages, costMinor, met, meanDE00, worstDE00 } = point;
          const bought = packages === 0 ? 'Nothing to buy' : count(packages, 'package');
          const cost =
            costMinor === undefined || costMinor === 0 || currency === undefined
              ? bought
              : `${moneyInWords({ minor: costMinor, currency })}, ${bought}`;
          return (
            <li key={word}>
              <button
                type="button"
                className="cost-point"
                aria-pressed={word === chosen}
                onClick={() => onChoose(word)}
              >
                <b>{verdictHead(word)}</b>
                <span className="cost-track" aria-hidden="true">
                  <span
                    className="cost-bar"
                    style={{ width: `${(100 * costOf(point)) / dearest}%` }}
                  />
                  <span className="cost-errors">
                    <span className="cost-mean" style={{ left: place(meanDE00) }} />
                    <span className="cost-worst" style={{ left: place(worstDE00) }} />
                  </span>
                </span>
                <span>
                  {cost}
                  <span className="small">
                    {met < colours.length ? `${met} of ${count(colours.length, 'colour')}; ` : ''}
                    {errorsInWords(point)}
                  </span>
                </span>
              </button>
            </li>
          );
        })}
      </ul>
    </section>
  );
}

function errorsInWords({ met, meanDE00, worstDE00 }: CostPoint): string {
  if (met === 0) return 'no colour has a mix';
  const word = (dE00: number) => verdictHead(verdictWord(dE00)).toLowerCase();
  return `on average ${word(meanDE00)}, at worst ${word(worstDE00)}`;
}

function wordAt(tolerance: number): VerdictWord {
  return VERDICT_LIMITS.find(([, limit]) => limit === tolerance)?.[0] ?? 'different';
}
