import { Button } from '../parts/button.tsx';
import { Part } from '../parts/field.tsx';
import { count } from '../screens/count.ts';
import { readAgain } from './ask-reading.ts';
import { ControlPick } from './control-pick.tsx';
import { changePhoto, photoSessionNow } from './photo-session-store.ts';
import { type DriftSentence, earlierOf } from './photo-words.ts';

/** Tiles measured before: do they still measure the same, and can they balance the photo? */
export function KnownTiles({
  drift: { sentences, known },
  isRough,
  open,
}: {
  readonly drift: DriftSentence;
  /** At least one photo has no chart. */
  readonly isRough: boolean;
  /** Tiles that are not named yet. */
  readonly open: Parameters<typeof ControlPick>[0]['open'];
}) {
  const rough = known.filter(({ row }) => row.shots[0].photoResult.rough !== null);
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
      readAgain(draftId, 0);
    }
  };
  const balanced = rough.some(
    ({ row }) => row.shots[0].photoResult.rough?.balanced === 'by control tiles',
  );
  return (
    <Part title="Tiles measured before">
      {sentences.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      {rough.length === 0 ? null : balanced ? (
        <p>The photo is balanced by {count(rough.length, 'tile')} measured before.</p>
      ) : (
        <>
          <p>
            This photo shows {count(rough.length, 'tile')} measured before. Balance the photo with{' '}
            {rough.length === 1 ? 'this tile' : 'these tiles'} to make the other colours more
            certain.
          </p>
          <div className="actions">
            <Button onPress={balance}>Balance the photo</Button>
          </div>
        </>
      )}
      {isRough ? <ControlPick open={open} /> : null}
    </Part>
  );
}

/** What colours of a photo without a chart are good for, and what would make them more certain. */
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
