import type { Point } from '../../core/photo/plane-view.ts';
import type { PhotoResult, TileResult } from '../../domain/photo-result.ts';
import { labelPlaces } from './label-places.ts';

/** What was found in a photo, drawn over it in thin lines of two tones that show on any background. */
export function SeenLines({
  photoResult,
  lookedAt,
}: {
  readonly photoResult: Pick<PhotoResult, 'widthPx' | 'heightPx' | 'sheet' | 'chart'> & {
    readonly tiles: readonly Pick<TileResult, 'name' | 'outline' | 'quality'>[];
  };
  /** Name of the tile that the user looks at. */
  readonly lookedAt?: string | undefined;
}) {
  const { widthPx, heightPx, sheet, chart, tiles } = photoResult;
  const text = Math.max(widthPx, heightPx) / 45;
  const labels = labelPlaces(tiles, text, photoResult);
  const patch = chart === null ? 0 : patchSide(chart.patches);
  return (
    <svg className="seen" viewBox={`0 0 ${widthPx} ${heightPx}`} aria-hidden="true">
      {sheet === null ? null : <TwoTone d={closed(sheet.corners)} />}
      {chart === null ? null : <TwoTone d={closed(chart.corners)} />}
      {chart?.patches.map(({ name, centre, mark }) => (
        <TwoTone
          key={name}
          d={mark === null ? cross(centre, patch / 5) : slash(centre, patch / 2.6)}
        />
      ))}
      {tiles.map(({ name, outline, quality }, i) => (
        <g key={name} data-looked-at={name === lookedAt || undefined}>
          <TwoTone d={closed(outline)} dashed={quality === 'poor'} />
          <text x={labels[i][0]} y={labels[i][1]} fontSize={text} className="seen-name">
            {name}
          </text>
        </g>
      ))}
    </svg>
  );
}

function TwoTone({ d, dashed = false }: { d: string; dashed?: boolean }) {
  return (
    <>
      <path d={d} className="seen-under" />
      <path d={d} className="seen-over" {...(dashed ? { strokeDasharray: '6 5' } : {})} />
    </>
  );
}

function closed(points: readonly Point[]): string {
  return points.length === 0 ? '' : `M${points.map(([x, y]) => `${x} ${y}`).join('L')}Z`;
}

function cross([x, y]: Point, r: number): string {
  return `M${x - r} ${y}H${x + r}M${x} ${y - r}V${y + r}`;
}

/** The cross through an excluded patch. */
function slash([x, y]: Point, r: number): string {
  return `M${x - r} ${y - r}L${x + r} ${y + r}M${x + r} ${y - r}L${x - r} ${y + r}`;
}

function patchSide(patches: readonly { readonly centre: Point }[]): number {
  const [a, b] = [patches[0].centre, patches[1].centre];
  return Math.hypot(a[0] - b[0], a[1] - b[1]);
}
