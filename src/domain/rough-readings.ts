import type { TileReading } from '../core/clay/tile-reading.ts';
import type { Lab } from '../core/colour/triples.ts';
import { KIND_WIDTHS, type ReadingKind } from './records/reading-kind.ts';

/** A block with its best reading. */
export interface ColouredBlock {
  readonly id: string;
  readonly clayType: string;
  readonly colour: {
    readonly lab: Lab;
    readonly readingKind: ReadingKind;
    readonly state: 'raw' | 'baked';
    readonly spread: number;
    readonly photoId?: string;
  };
}

/** Fewer blocks than this make no mixes. */
export const FEWEST_COLOURED = 2;

/** What baking may add to a colour read before it, CIELAB an axis (common practice, no source). */
const BAKING_SPREAD = 2;

/**
 * What a rough clay model is made of where none was learned yet: the blocks' own colours. Clays are named
 * by the ids of their blocks.
 */
export function roughReadings(blocks: readonly ColouredBlock[]): readonly TileReading[] {
  return blocks.map(({ id, clayType, colour }) => {
    const { lab, readingKind, state, spread, photoId } = colour;
    const width = readingKind === 'measured' ? undefined : KIND_WIDTHS[readingKind];
    const raw = state === 'raw' ? BAKING_SPREAD : 0;
    const special = (['pearl', 'metallic', 'fluorescent'] as const).find((s) => s === clayType);
    return {
      tile: id,
      parts: [{ clay: id, share: 1 }],
      colour: { kind: 'lab', lab, light: 'D50', observer: 2 },
      spread: Math.hypot(Math.max(spread, width?.least ?? 0), raw),
      geometry: 'excluded',
      photo: photoId ?? readingKind,
      ...(width === undefined ? {} : { photoSpread: width.shared }),
      partsSpread: 0,
      ...(special === undefined ? {} : { effect: special }),
    } satisfies TileReading;
  });
}
