import { verdictWord } from '../../../core/verdict/verdict.ts';
import { verdictHead } from '../../../core/verdict/verdict-in-words.ts';
import type { BuyingListAnswer } from '../../../verbs/buying-list-question.ts';
import { moneyInWords } from '../stock/money.ts';

/** What a list costs in all, how good it is, and what else must be known. */
export function ListSummary({ answer }: { readonly answer: BuyingListAnswer }) {
  const { costMinor, currency, gap, helps, notes, meanDE00, worstDE00, colours } = answer;
  const met = colours.filter(({ recipe }) => recipe !== undefined).length;
  const cost =
    costMinor === undefined || costMinor === 0 || currency === undefined
      ? ''
      : `${moneyInWords({ minor: costMinor, currency })} in all. `;
  const best =
    met === 0
      ? ''
      : gap < 1e-6
        ? 'No better list exists.'
        : `A better list could be cheaper by ${(100 * gap).toFixed(1)} % at most.`;
  const how =
    met === 0
      ? ''
      : ` On average the mixes are ${verdictHead(verdictWord(meanDE00)).toLowerCase()}, the worst is ${verdictHead(verdictWord(worstDE00)).toLowerCase()}.`;
  return (
    <section className="buying-notes" aria-label="Notes">
      <p className="lead">
        {cost}
        {best}
        {how}
      </p>
      {helps.map(({ clay, colours: gives }) => (
        <p key={clay}>
          {clay} would give {gives.join(', ')} too.
        </p>
      ))}
      {notes.map((note) => (
        <p key={note}>{note}</p>
      ))}
    </section>
  );
}
