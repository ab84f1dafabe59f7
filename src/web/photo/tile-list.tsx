import { useState } from 'react';
import { useAll } from '../book/queries.ts';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { Field, Part } from '../parts/field.tsx';
import { Form } from '../parts/form.tsx';
import { count } from '../screens/count.ts';
import { type Accepted, acceptPhotos } from './accept-photos.ts';
import { BetterNames } from './better-names.tsx';
import { useComing } from './bring-photo.ts';
import { useFewAtATime } from './few-at-a-time.ts';
import { KnownTiles } from './known-tiles.tsx';
import { sharedDoubts, shortDoubts } from './mark-words.ts';
import { type NamesSeen, NameWatch } from './name-watch.tsx';
import type { PhotoRead } from './photo-reads.ts';
import { TileRow } from './photo-row.tsx';
import { changePhotoSession, type PhotoSession, type State } from './photo-session-store.ts';
import { bakingInWords, driftInWords } from './photo-words.ts';
import { useAccept } from './use-accept.ts';
import { useTileList } from './use-tile-list.ts';

/** The tiles of the photos: what each is, and Accept. */
export function TileList({
  session,
  reads,
  severalTrays,
  onAccepted,
  onLook,
}: {
  readonly session: PhotoSession;
  readonly reads: readonly PhotoRead[];
  readonly severalTrays: boolean;
  readonly onAccepted: (accepted: Accepted) => void;
  /** The user looks at a tile, by the key of its row. */
  readonly onLook: (key: string) => void;
}) {
  const lines = useAll('line');
  const tiles = useTileList(session, reads);
  const drawn = useFewAtATime(tiles.length);
  const [seen, setSeen] = useState<NamesSeen | undefined>();
  const [isComparing, setComparing] = useState(false);

  const seenOf = ({ row: { key }, text }: (typeof tiles)[number]) => {
    const one = seen?.rows.get(key);
    return one?.text === text ? one : undefined;
  };
  const taken = tiles.filter(({ take }) => take);
  const open = taken.filter(({ target: { is } }) => is === 'nothing' || is === 'unknown');
  const coming = useComing().some(({ stage }) => stage !== 'no');
  // The readings shown may be older than the photos: on a slow device Enter can come in between.
  const areOld = session.photos.some(
    ({ due, jobId }, i) => due === true || reads[i]?.photo.jobId !== jobId,
  );
  const running = coming || areOld || reads.some((one) => one.running);
  const baking = bakingInWords(taken);
  const shared = sharedDoubts(
    tiles.map(({ row }) => row),
    severalTrays,
  );

  const { accept, isPressed, isBusy, isWarned, no, waits } = useAccept({
    taken,
    open,
    doubtful: taken.filter((tile) => !tile.sure && seenOf(tile)?.isDoubtful === true),
    hasBetterOrder: seen?.better !== undefined,
    isReading: running,
    isComparing,
    save: async () => onAccepted(await acceptPhotos(taken, lines.records, seen?.rows)),
  });

  return (
    <Form className="stack" label="Tiles" onSend={accept}>
      {tiles.length === 0 ? (
        <p className="lead">
          {running
            ? 'Tiles appear here when they have been read.'
            : 'No tiles yet. Tap a tile in the photo, or move the corners of the sheet.'}
        </p>
      ) : (
        <>
          <h2>{count(tiles.length, 'tile')}</h2>
          <Choice<State>
            label="State of all tiles"
            value={session.state}
            onChange={(state) => changePhotoSession((now) => ({ ...now, state }))}
            options={[
              ['baked', 'Baked and cool'],
              ['raw', 'Raw'],
            ]}
          />
          <BetterNames better={seen?.better} tiles={tiles} onMoved={() => setSeen(undefined)} />
          {shared.length === 0 ? null : (
            <div className="tile-rows-said">
              {shared.map(({ mark, sentence }) => (
                <p key={mark} className="small">
                  {sentence}
                </p>
              ))}
            </div>
          )}
          <ul className="tile-rows" aria-busy={drawn < tiles.length}>
            {tiles.slice(0, drawn).map((tile) => (
              <TileRow
                key={tile.row.key}
                row={tile.row}
                text={tile.text}
                state={tile.state}
                take={tile.take}
                sure={tile.sure}
                seen={seenOf(tile)}
                onLook={onLook}
                target={tile.target}
                isPending={tile.isPending}
                severalTrays={severalTrays}
                doubts={shortDoubts(tile.row, shared)}
                isOpen={isPressed && open.includes(tile)}
              />
            ))}
          </ul>
          {taken.every(({ target: { is } }) => is === 'nothing') ? null : (
            <NameWatch tiles={tiles} onSeen={setSeen} onComparing={setComparing} />
          )}
          {baking.length === 0 ? null : (
            <Part title="Change by baking">
              {baking.map((sentence) => (
                <p key={sentence}>{sentence}</p>
              ))}
            </Part>
          )}
          <KnownTiles
            drift={driftInWords(taken)}
            isRough={taken.some(({ row }) => row.shots[0].photoResult.rough !== null)}
            open={open.map(({ row: { key, tray, name } }) => ({
              key,
              name: severalTrays ? `${name} of tray ${tray}` : name,
            }))}
          />
          {taken.some(({ target }) => target.is === 'new block') ? (
            <Field
              label="Clay line of the new blocks (name on the package)"
              value={session.line}
              onChange={(line) => changePhotoSession((now) => ({ ...now, line }))}
              placeholder="My clays"
            />
          ) : null}
          {no === undefined ? null : <p className="field-no">{no}</p>}
          <div className="actions thumb">
            <Button kind="main" type="submit" isDisabled={isBusy || taken.length === 0}>
              Accept {count(taken.length, 'tile')}
              {isWarned ? ' anyway' : ''}
            </Button>
            <span className="soft small" role="status">
              {waits ??
                (open.length === 0
                  ? ''
                  : `${open.length === 1 ? 'One tile is' : `${open.length} tiles are`} not named yet.`)}
            </span>
          </div>
        </>
      )}
    </Form>
  );
}
