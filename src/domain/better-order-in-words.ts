import type { BetterOrder } from '../core/photo/weigh-names.ts';

/** A better order of names in one sentence; `tileAt` gives what a tile is called by its place. */
export function betterOrderInWords(better: BetterOrder, tileAt: (place: number) => string): string {
  if (better.kind === 'exchange') {
    return `The names of ${tileAt(better.one)} and ${tileAt(better.other)} seem to be exchanged.`;
  }
  return better.by === 1
    ? `From ${tileAt(better.from)} on, each name seems to belong to the next tile.`
    : `From ${tileAt(better.from)} on, each name seems to belong to the tile before.`;
}
