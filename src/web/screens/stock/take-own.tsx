import { closestOwn, matchClaySteps } from '../../../domain/changes/match-clay.ts';
import { ofKind } from '../../../domain/records/of-kind.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { sendChange, wordsOf } from '../../book/change.ts';
import { client } from '../../book/client.ts';
import { useColours } from '../../book/colours.ts';
import { showNotice } from '../../book/notice.ts';
import { useAll } from '../../book/queries.ts';
import { Tile } from '../../parts/tile.tsx';

/** Own blocks that are offered, and mixes that one change may touch. */
const MOST_OFFERED = 6;
const MOST_MIXES = 500;

/** The closest blocks of one's own for a clay that is not owned; a press puts one in its place in every mix. */
export function TakeOwn({
  block,
  onDone,
}: {
  readonly block: RecordOf<'block'>;
  readonly onDone: () => void;
}) {
  const blocks = useAll('block').records;
  const colours = useColours();
  const closest = closestOwn(block, blocks, (id) => colours.of(id)?.lab).slice(0, MOST_OFFERED);
  const take = async (ownId: string, name: string) => {
    try {
      const { body } = await client.call('listRecords', {
        query: { kind: 'mix', uses: block.id, limit: MOST_MIXES },
      });
      const steps = matchClaySteps(block.id, ownId, ofKind(body.records, 'mix'));
      if (steps.length > 0) await sendChange(`Took ${name} for ${block.body.name}`, steps);
      onDone();
    } catch (fault) {
      showNotice({ text: wordsOf(fault) });
    }
  };
  if (colours.isPending) return null;
  if (closest.length === 0) return <p className="soft">Nothing says which colour this clay has.</p>;
  return (
    <div>
      <h3>Use a block of yours in its place</h3>
      <ul className="bench clay-choices">
        {closest.map(({ block: { id, body } }) => (
          <li key={id}>
            <button type="button" onClick={() => void take(id, body.name)}>
              <Tile lab={colours.of(id)?.lab} name={body.name} />
              <span className="small" aria-hidden="true">
                {body.name}
              </span>
            </button>
          </li>
        ))}
      </ul>
    </div>
  );
}
