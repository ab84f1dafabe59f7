import { urlOf } from '../../client/api-client.ts';
import type { Point } from '../../core/photo/plane-view.ts';
import { client } from '../book/client.ts';

/** Address of the small version of an uploaded photo. */
export function previewOf(draftId: string): string {
  return urlOf(client.options.baseUrl, 'draftPreview', { params: { id: draftId } });
}

/** Address of the small version of a saved photo. */
export function savedPreviewOf(id: string): string {
  return urlOf(client.options.baseUrl, 'photoPreview', { params: { id } });
}

/** Width to height of a piece, as look/photo.css has it. */
const ASPECT = 72 / 128;

/** A piece of a photo, cut out by the browser so that nothing is decoded twice. */
export function CutOut({
  src,
  size: { widthPx, heightPx },
  middle: [x, y],
  side,
  label,
}: {
  /** Address of the small photo. */
  readonly src: string;
  readonly size: { readonly widthPx: number; readonly heightPx: number };
  readonly middle: Point;
  /** Of the longer edge, in pixels of the photo. */
  readonly side: number;
  readonly label: string;
}) {
  const across = side * ASPECT;
  const part = (at: number, whole: number, piece: number) =>
    whole <= piece ? 0 : (100 * (at - piece / 2)) / (whole - piece);
  return (
    <span
      className="tile cut-out"
      role="img"
      aria-label={label}
      style={{
        backgroundImage: `url("${src}")`,
        backgroundSize: `${(100 * widthPx) / across}% ${(100 * heightPx) / side}%`,
        backgroundPosition: `${part(x, widthPx, across)}% ${part(y, heightPx, side)}%`,
      }}
    />
  );
}

/** Side of a square well inside an outline, around its middle. */
export function insideOf(outline: readonly Point[], [x, y]: Point): number {
  const reach = Math.min(...outline.map(([px, py]) => Math.hypot(px - x, py - y)));
  return Math.max(4, reach * Math.SQRT2 * 0.75);
}
