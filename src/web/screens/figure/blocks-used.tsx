import type { CSSProperties } from 'react';
import { plainMoney } from '../../../domain/money.ts';
import type { FigureAnswer } from '../../../verbs/figure.ts';
import { usesInWords } from '../../../verbs/figure-in-words.ts';
import { massInWords, useUnits } from '../../book/units.ts';
import { screenColour, useWiderScreen } from '../../colour/screen-colour.ts';
import { moneyInWords } from '../stock/money.ts';

type UsedBlock = FigureAnswer['blocks'][number];

/** The blocks: what the figure takes of each is striped, what it costs beside them. */
export function BlocksUsed({
  answer: { blocks, cost, grams, copies },
}: {
  readonly answer: FigureAnswer;
}) {
  const units = useUnits();
  const { currency, clayMinor, buyMinor, workMinor, eachMinor } = cost;
  const money = (minor: number) =>
    currency === undefined ? plainMoney({ minor }) : moneyInWords({ minor, currency });
  return (
    <section className="figure-part">
      <div className="figure-head">
        <h2>Blocks</h2>
        <p className="small">striped: used for {copies === 1 ? 'this figure' : 'these figures'}</p>
      </div>
      <div className="figure-blocks-and-cost">
        <ul className="figure-blocks" aria-label="Blocks">
          {blocks.map((block) => (
            <li key={block.clay}>
              <UsedPicture block={block} />
              <b>{block.clay}</b>
              <p className="small">{massInWords(block.usedG, units)} used</p>
              <p className={block.lacksG > 0 ? 'small warning' : 'small'}>{usesInWords(block)}</p>
            </li>
          ))}
        </ul>
        <div className="figure-cost">
          {clayMinor === undefined ? null : <p className="figure-price">{money(clayMinor)}</p>}
          <p>
            {clayMinor === undefined ? 'Clay' : 'clay'} for{' '}
            {copies === 1 ? 'one figure' : `${copies} figures`}, {massInWords(grams, units)}
          </p>
          {buyMinor === undefined || buyMinor === 0 ? null : (
            <p>Packages to buy: {money(buyMinor)}</p>
          )}
          {workMinor === undefined || eachMinor === undefined ? null : (
            <p>
              One figure with your hours: <b>{money(eachMinor)}</b>
            </p>
          )}
        </div>
      </div>
    </section>
  );
}

/** What is at hand as a filled part of a package, what is used of it striped. */
function UsedPicture({
  block: { lab, usedG, onHandG = 0, packageG },
}: {
  readonly block: UsedBlock;
}) {
  useWiderScreen();
  const whole = Math.max(packageG ?? 0, onHandG, usedG, 1);
  const share = (grams: number) => `${(100 * Math.min(grams, whole)) / whole}%`;
  const style = {
    '--have': share(onHandG),
    '--rest': share(Math.max(0, onHandG - usedG)),
    '--used': share(usedG),
    ...(lab === undefined ? {} : { '--clay': screenColour(lab).css }),
  } as CSSProperties;
  return (
    <span className="used-block" style={style} data-coloured={lab !== undefined} aria-hidden="true">
      <span className="used-block-have" />
      <span className="used-block-used" />
    </span>
  );
}
