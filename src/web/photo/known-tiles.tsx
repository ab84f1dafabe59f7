import { Button } from '../parts/button.tsx';
import { Part } from '../parts/field.tsx';
import { count } from '../screens/start.tsx';
import { readAnew } from './ask-reading.ts';
import { ControlPick } from './control-pick.tsx';
import { changePhoto, photoSessionNow } from './photo-session-store.ts';
import { type DriftSentence, earlierOf } from './photo-words.ts';

/** Tiles the book knows: do they still read as they did, and may the photo be balanced by them? */
export function KnownTiles({
  drift: { sentences, known },
  isRough,
  open,
}: {
  readonly drift: DriftSentence;
  /** A photo of them has no chart. */
  readonly isRough: boolean;
  /** Tiles that are not named yet. */
  readonly open: Parameters<typeof ControlPick>[0]['open'];
}) {
  const rough = known.filter(({ row }) => row.shots[0].told.rough !== null);
  if (sentences.length === 0 && rough.length === 0) return isRough ? <GoodFor open={open} /> : null;
  const balance = () => {
    for (const { draftId } of photoSessionNow().photos) {
      const controls = rough.flatMap((one) =>
        one.row.shots[0].draftId === draftId
          ? [
              {
                name: one.row.name,
                earlier: earlierOf(one).map(({ lab: [l, a, b], spread }) => ({
                  lab: [l, a, b] as [number, number, number],
                  spread,
                })),
              },
            ]
          : [],
      );
      changePhoto(draftId, { controls });
      readAnew(draftId, 0);
    }
  };
  const balanced = rough.some(
    ({ row }) => row.shots[0].told.rough?.balanced === 'by control tiles',
  );
  return (
    <Part title="Tiles read before">
      {sentences.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      {rough.length === 0 ? null : balanced ? (
        <p>The photo is balanced by {count(rough.length, 'tile')} the book knows.</p>
      ) : (
        <>
          <p>
            The book knows {count(rough.length, 'tile')} of this photo as measured. It can be
            balanced by {rough.length === 1 ? 'it' : 'them'}, and the others come out surer.
          </p>
          <div className="doings">
            <Button onPress={balance}>Balance the photo by them</Button>
          </div>
        </>
      )}
      {isRough ? <ControlPick open={open} /> : null}
    </Part>
  );
}

/** What readings of a photo without a chart can answer, and what would make them surer. */
function GoodFor({ open }: Parameters<typeof ControlPick>[0]) {
  return (
    <Part title="What these colours are good for">
      <p>
        No chart lay in the photo: what colour a tile is, is told roughly; how two of them differ,
        much better. Lay raw beside baked and you see what baking does; lay one step beside the next
        and you see which way it went.
      </p>
      <p>
        To compare with other days, lay one or two tiles in every photo whose colour the book knows
        as measured, and say here which they are: the photo can be balanced by them, and they tell
        whether one of them changes.
      </p>
      <ControlPick open={open} />
    </Part>
  );
}
