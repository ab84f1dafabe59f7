import { useState } from 'react';
import { reordered } from '../../core/photo/weigh-names.ts';
import { betterOrderInWords } from '../../domain/better-order-in-words.ts';
import { Button } from '../parts/button.tsx';
import type { NamesSeen } from './name-watch.tsx';
import { sayOfRow } from './photo-session-store.ts';
import type { TileHere } from './use-tile-list.ts';

/** Names that slipped by one or were exchanged: said, moved at one press, and put back at another. */
export function BetterNames({
  better,
  tiles,
  onMoved,
}: {
  readonly better: NamesSeen['better'];
  readonly tiles: readonly TileHere[];
  readonly onMoved: () => void;
}) {
  const [before, setBefore] = useState<ReadonlyMap<string, string> | undefined>();
  const byKey = new Map(tiles.map((tile) => [tile.row.key, tile]));
  const put = (texts: ReadonlyMap<string, string>) => {
    for (const [key, text] of texts) sayOfRow(key, { text });
    onMoved();
  };
  if (before !== undefined) {
    return (
      <div className="part" role="status">
        <p>The names are moved. Check them beside the tiles.</p>
        <div className="actions">
          <Button
            onPress={() => {
              put(before);
              setBefore(undefined);
            }}
          >
            Put the names back
          </Button>
          <Button kind="quiet" onPress={() => setBefore(undefined)}>
            They are right now
          </Button>
        </div>
      </div>
    );
  }
  if (better === undefined) return null;
  const { order, keys } = better;
  const move = () => {
    const texts = keys.map((key) => byKey.get(key)?.text ?? '');
    const moved = reordered(texts, order, '');
    put(new Map(keys.map((key, i) => [key, moved[i]])));
    setBefore(new Map(keys.map((key, i) => [key, texts[i]])));
  };
  return (
    <div className="part" role="status">
      <p>
        <strong>
          {betterOrderInWords(order, (at) => `tile ${byKey.get(keys[at])?.row.name ?? at + 1}`)}
        </strong>{' '}
        The colours fit better then.
      </p>
      <div className="actions">
        <Button onPress={move}>
          {order.kind === 'exchange' ? 'Exchange the two names' : 'Move the names by one'}
        </Button>
      </div>
    </div>
  );
}
