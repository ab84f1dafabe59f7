import { Link } from '@tanstack/react-router';
import { change } from '../../../domain/changes/steps.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { sendChange } from '../../book/change.ts';
import { useColoursOf } from '../../book/colours.ts';
import { useBlockNames } from '../../book/names.ts';
import { useAll } from '../../book/queries.ts';
import { massInWords, useUnits } from '../../book/units.ts';
import { dayInWords } from '../../book/when-in-words.ts';
import { Button } from '../../parts/button.tsx';
import { Tile } from '../../parts/tile.tsx';
import type { FigureMixes } from './use-figure-mixes.ts';

/** The batches that were mixed: of which purchases, and the tile that says how each colour looked. */
export function MadeBatches({
  figure,
  mixes,
}: {
  readonly figure: RecordOf<'figure'>;
  readonly mixes: FigureMixes;
}) {
  const units = useUnits();
  const { nameOf: blockName } = useBlockNames();
  const purchases = useAll('purchase').byId;
  const { batches, madeOn } = figure.body;
  const shown = useColoursOf(batches.map(({ of }) => of.id));
  if (batches.length === 0) return null;
  const boughtInWords = (id: string) => {
    const bought = purchases.get(id)?.body;
    if (bought === undefined) return [];
    const { of, lotNumber, boughtOn } = bought;
    const lot = lotNumber === undefined ? '' : ` lot ${lotNumber}`;
    const day = boughtOn === undefined ? '' : `, bought ${dayInWords(boughtOn)}`;
    return [`${blockName(of.id)}${lot}${day}`];
  };
  const finish = () =>
    sendChange(`Finished ${figure.body.name}`, [
      change(figure, { ...figure.body, madeOn: new Date().toISOString().slice(0, 10) }),
    ]);
  return (
    <section className="figure-part">
      <div className="figure-head">
        <h2>Mixed</h2>
        <p className="small">
          {madeOn === undefined ? 'for matching again later' : `made on ${dayInWords(madeOn)}`}
        </p>
      </div>
      <div>
        <ul className="figure-made" aria-label="Mixed batches">
          {batches.map(({ of, massG, purchaseIds = [], tileId }, at) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: a mix may be in a figure twice
            <li key={at}>
              <Tile lab={shown.shown(of.id)?.lab} name="" />
              <div>
                <b>{mixes.nameOf(of.id)}</b>
                {massG === undefined ? '' : `, ${massInWords(massG, units)}`}
                <p className="small">
                  {purchaseIds.length === 0
                    ? 'From packages that no purchase is written down of.'
                    : `From ${purchaseIds.flatMap(boughtInWords).join('; ')}.`}
                </p>
                {tileId === undefined ? (
                  <p className="small">No tile of this mix was baked yet.</p>
                ) : (
                  <Link to="/tiles/$id" params={{ id: tileId }}>
                    The tile of {mixes.nameOf(of.id)}
                  </Link>
                )}
              </div>
            </li>
          ))}
        </ul>
        {madeOn === undefined ? (
          <div className="actions">
            <Button onPress={() => finish()}>The figure is finished</Button>
          </div>
        ) : null}
      </div>
    </section>
  );
}
