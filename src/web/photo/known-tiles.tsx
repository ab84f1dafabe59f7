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
          <div className="actions">
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
    <Part title="How far to trust these colours">
      <p>
        No chart in the photo: each colour is rough, but differences between tiles are reliable. Put
        raw next to baked to see what baking does.
      </p>
      <p>
        To compare photos from different days, put one or two measured tiles in every photo and
        select them here. Kneadwell uses them to balance the photo and to notice if they change.
      </p>
      <ControlPick open={open} />
    </Part>
  );
}
