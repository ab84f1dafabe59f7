import type { RecordOf } from '../../../domain/records/record.ts';
import type { WishInWords } from '../../../domain/wish-list.ts';
import { sendChange } from '../../book/change.ts';
import { Button } from '../../parts/button.tsx';
import { Tile, Unshown } from '../../parts/tile.tsx';
import { count } from '../count.ts';

/** The colours of the wish list, each to be removed once it is bought. */
export function SavedWishes({
  wishes,
  records,
}: {
  readonly wishes: readonly WishInWords[];
  readonly records: ReadonlyMap<string, RecordOf<'wish'>>;
}) {
  const remove = async ({ id, name }: WishInWords) => {
    const version = records.get(id)?.version;
    if (version === undefined) return;
    await sendChange(`Removed ${name} from the wish list`.slice(0, 300), [
      { do: 'delete', id, version },
    ]);
  };
  return (
    <section className="pile bench across">
      <div className="pile-head">
        <h2>On the list</h2>
        <p className="small">{count(wishes.length, 'colour')}</p>
      </div>
      <ul className="pile-cells" data-wide aria-label="Wishes">
        {wishes.map((wish) => (
          <li key={wish.id} className="pile-cell">
            <Tile lab={wish.lab} name={wish.name} />
            <Unshown lab={wish.lab} />
            <p>
              <b>{wish.name}</b>
            </p>
            {wish.where === '' ? null : <p className="small">{wish.where}</p>}
            {wish.why === '' ? null : <p className="small">{wish.why}</p>}
            <div className="actions">
              <Button
                kind="quiet"
                aria-label={`Bought: remove ${wish.name}`}
                onPress={() => remove(wish)}
              >
                Bought: remove
              </Button>
            </div>
          </li>
        ))}
      </ul>
    </section>
  );
}
