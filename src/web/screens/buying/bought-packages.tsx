import type { BoughtPackages, BuyingListAnswer } from '../../../verbs/buying-list-question.ts';
import { massInWords, useUnits } from '../../book/units.ts';
import { Button } from '../../parts/button.tsx';
import { Tile } from '../../parts/tile.tsx';
import { count } from '../count.ts';
import { moneyInWords } from '../stock/money.ts';

/** The packages to buy, each with what it is for and what is left over; then what is at hand already. */
export function BoughtPackagesList({
  answer: { buy, have, currency },
  never,
  neverLines,
  onNever,
  onAgain,
  onNeverLine,
  onLineAgain,
}: {
  readonly answer: BuyingListAnswer;
  readonly never: readonly string[];
  readonly onNever: (clay: string) => void;
  readonly onAgain: (clay: string) => void;
  readonly neverLines: readonly string[];
  readonly onNeverLine: (line: string) => void;
  readonly onLineAgain: (line: string) => void;
}) {
  const lines = [...new Set(buy.flatMap(({ line }) => line ?? []))].sort();
  return (
    <>
      {buy.length === 0 ? null : (
        <section className="pile bench across">
          <div className="pile-head">
            <h2>Buy</h2>
            <p className="small">{count(buy.length, 'block')}</p>
          </div>
          <ul className="pile-cells" data-wide aria-label="Packages to buy">
            {buy.map((one) => (
              <li key={one.clay} className="pile-cell">
                <PackageCell one={one} currency={currency} />
                <Button kind="quiet" onPress={() => onNever(one.clay)}>
                  The list without {one.clay}
                </Button>
              </li>
            ))}
          </ul>
          {lines.length + neverLines.length < 2 ? null : (
            <p className="actions">
              {lines.map((line) => (
                <Button key={line} kind="quiet" onPress={() => onNeverLine(line)}>
                  The list without the line {line}
                </Button>
              ))}
            </p>
          )}
        </section>
      )}
      {never.length + neverLines.length === 0 ? null : (
        <p className="actions">
          {neverLines.map((line) => (
            <Button key={line} kind="quiet" onPress={() => onLineAgain(line)}>
              The line {line} may be bought again
            </Button>
          ))}
          {never.map((clay) => (
            <Button key={clay} kind="quiet" onPress={() => onAgain(clay)}>
              {clay} may be bought again
            </Button>
          ))}
        </p>
      )}
      {have.length === 0 ? null : (
        <section className="pile">
          <div className="pile-head">
            <h2>At hand</h2>
            <p className="small">enough of {count(have.length, 'block')}</p>
          </div>
          <ul className="pile-cells" aria-label="Blocks at hand">
            {have.map((one) => (
              <li key={one.clay} className="pile-cell">
                <PackageCell one={one} currency={currency} />
              </li>
            ))}
          </ul>
        </section>
      )}
    </>
  );
}

function PackageCell({
  one: { clay, shown, packages, packageG, costMinor, usedG, leftG, for: goesInto },
  currency,
}: {
  readonly one: BoughtPackages;
  readonly currency: string | undefined;
}) {
  const units = useUnits();
  const price =
    costMinor === undefined || currency === undefined || packages === 0
      ? ''
      : `, ${moneyInWords({ minor: costMinor, currency })}`;
  return (
    <>
      <span className="buying-block">
        <Tile lab={shown} name={clay} />
      </span>
      <b>{clay}</b>
      {packages === 0 ? null : (
        <p>
          {count(packages, 'package')} of {massInWords(packageG, units)}
          {price}
        </p>
      )}
      <p className="small">
        {massInWords(usedG, units)} for {goesInto.map(({ colour }) => colour).join(', ')};{' '}
        {massInWords(leftG, units)} left over
      </p>
    </>
  );
}
