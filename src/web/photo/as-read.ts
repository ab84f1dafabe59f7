import type { PhotoResult, TileResult } from '../../domain/photo-result.ts';
import { KIND_WIDTHS } from '../../domain/records/reading-kind.ts';
import type { BodyOf } from '../../domain/records/record.ts';

/**
 * The fields of a reading, from a tile of a photo.
 * Holds:   colours of a photo without a chart are rough, with at least the spread of rough ones; all values
 *          within the limits of a reading
 */
export function asRead(
  photoResult: Pick<PhotoResult, 'rough' | 'widthPx' | 'heightPx'>,
  tile: Pick<TileResult, 'lab' | 'spread' | 'outline'>,
) {
  const readingKind = photoResult.rough === null ? 'measured' : 'rough';
  const least = readingKind === 'rough' ? KIND_WIDTHS.rough.least : 0;
  const [l, a, b] = tile.lab;
  return {
    readingKind,
    lab: { values: [Math.min(101, Math.max(-0.5, l)), a, b], light: 'D50', observer: 2 },
    spread: Math.min(20, Math.max(least, tile.spread)),
    geometry: 'excluded',
    region: regionOf(photoResult, tile.outline),
  } as const satisfies Partial<BodyOf<'reading'>>;
}

/** The box round an outline, in shares of the photo. */
function regionOf(
  { widthPx, heightPx }: { readonly widthPx: number; readonly heightPx: number },
  outline: TileResult['outline'],
) {
  const held = (v: number) => Math.min(1, Math.max(0, v));
  const xs = outline.map(([x]) => held(x / widthPx));
  const ys = outline.map(([, y]) => held(y / heightPx));
  const left = Math.min(...xs);
  const top = Math.min(...ys);
  return { left, top, width: Math.max(...xs) - left, height: Math.max(...ys) - top };
}
