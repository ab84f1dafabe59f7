import type { CSSProperties } from 'react';
import { type Edge, hueOfSector } from '../../core/colour/edge.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { hueWordsAround } from '../colour/hue-words.ts';
import { screenColour } from '../colour/screen-colour.ts';

const RINGS = [20, 40, 60, 80, 100];
/** Stronger colours are drawn at the rim. */
const MOST = 105;
/** Room around the strongest colour for its name and the hues, as a share of its chroma. */
const ROOM = 1.12;
/** Size of a letter in units of the plane, where the plane is drawn to 110. */
const LETTER = { width: 3, height: 6.5 };
const WHOLE = 110;
/** The label of the wanted colour. */
const AIM_WORD = 'wanted';
/** Names shown where the plane is small. */
const FEW = 5;
/** Letters are this much wider on a small plane (gamut.css). */
const WIDER = 2;
/** Beyond this share of the rim the number of a ring would cover the name of a hue. */
const FIGURES_TO = 0.86;

export interface PlanePoint {
  readonly id: string;
  readonly name: string;
  readonly lab: Lab;
}

/** Hue around the circle, chroma outwards, at one lightness: one range hatched, another dashed. */
export function HueChromaPlane({
  label,
  edge,
  other,
  points,
  aim,
  far,
}: {
  readonly label: string;
  /** Least chroma shown, the same at every lightness, so that the plane does not jump. */
  readonly far: number;
  readonly edge: Edge;
  readonly other: Edge | undefined;
  readonly points: readonly PlanePoint[];
  /** Faint if its lightness is another. */
  readonly aim: { readonly lab: Lab; readonly here: boolean } | undefined;
}) {
  const rim = Math.min(MOST, far) * ROOM;
  const scale = rim / WHOLE;
  const named = namesWithRoom(points, aim?.lab, scale);
  const few = new Set(
    points
      .filter(
        ({ id, name, lab }) =>
          named.has(id) && lab[1] + WIDER * LETTER.width * scale * name.length < rim,
      )
      .sort((one, other) => chromaOf(other) - chromaOf(one))
      .slice(0, FEW)
      .map(({ id }) => id),
  );
  const side = 1.32 * rim;
  const figures = RINGS.filter((r) => r <= FIGURES_TO * rim && !nearAim(r, aim?.lab, scale));
  return (
    <svg
      className="plane"
      viewBox={`${-side} ${-1.16 * rim} ${2 * side} ${2.32 * rim}`}
      style={{ '--scale': scale } as CSSProperties}
      role="img"
      aria-label={label}
    >
      <defs>
        <Hatch id="hatch" turn={45} width={4} opacity={0.55} />
        <Hatch id="hatch-other" turn={-45} width={5} opacity={0.4} />
      </defs>
      {RINGS.filter((r) => r <= rim).map((r) => (
        <g key={r}>
          <circle r={r} fill="none" stroke="currentColor" strokeWidth={0.3 * scale} opacity="0.5" />
          {figures.includes(r) ? (
            <text x={scale} y={-r - scale}>
              {r}
            </text>
          ) : null}
        </g>
      ))}
      {hueWordsAround(rim).map(({ word, x, y, anchor }) => (
        <text
          key={word}
          className="plane-hue"
          x={x}
          y={y + 1.5 * scale}
          textAnchor={anchor}
          data-between={word.includes('-') || undefined}
        >
          {word}
        </text>
      ))}
      <path d={pathOf(edge)} fill="url(#hatch)" stroke="currentColor" strokeWidth={0.8 * scale} />
      {other === undefined ? null : (
        <path
          d={pathOf(other)}
          fill="url(#hatch-other)"
          stroke="currentColor"
          strokeWidth={0.8 * scale}
          strokeDasharray={`${3 * scale} ${2 * scale}`}
        />
      )}
      {points.map(({ id, name, lab }) => (
        <g key={id}>
          <rect
            x={lab[1] - 3 * scale}
            y={-lab[2] - 3 * scale}
            width={6 * scale}
            height={6 * scale}
            style={{ fill: screenColour(lab).css }}
            stroke="currentColor"
            strokeWidth={0.3 * scale}
          />
          {named.has(id) ? (
            <text
              data-few={few.has(id) || undefined}
              className="plane-name"
              x={lab[1] + 4 * scale}
              y={-lab[2] + 1.5 * scale}
            >
              {name}
            </text>
          ) : null}
        </g>
      ))}
      {aim === undefined ? null : (
        <g opacity={aim.here ? 1 : 0.5}>
          <rect
            x={aim.lab[1] - 4 * scale}
            y={-aim.lab[2] - 4 * scale}
            width={8 * scale}
            height={8 * scale}
            style={{ fill: screenColour(aim.lab).css }}
            stroke="currentColor"
            strokeWidth={1.2 * scale}
          />
          <text x={aim.lab[1] + 6 * scale} y={-aim.lab[2] + 1.5 * scale}>
            {aim.here ? AIM_WORD : `${AIM_WORD}, at another lightness`}
          </text>
        </g>
      )}
    </svg>
  );
}

function Hatch(props: { id: string; turn: number; width: number; opacity: number }) {
  const { id, turn, width, opacity } = props;
  return (
    <pattern
      id={id}
      width={width}
      height={width}
      patternUnits="userSpaceOnUse"
      patternTransform={`rotate(${turn})`}
    >
      <line y2={width} stroke="currentColor" strokeWidth="0.7" opacity={opacity} />
    </pattern>
  );
}

/** Names that do not overlap; the strongest colours first, as they form the edge. */
function namesWithRoom(
  points: readonly PlanePoint[],
  aim: Lab | undefined,
  scale: number,
): ReadonlySet<string> {
  const named = new Set<string>();
  const taken: { x: number; y: number; width: number }[] = [];
  if (aim !== undefined) taken.push({ x: aim[1] - 4 * scale, y: -aim[2], width: 24 * scale });
  for (const point of points.toSorted((one, other) => chromaOf(other) - chromaOf(one))) {
    const x = point.lab[1] + 4 * scale;
    const y = -point.lab[2];
    const width = LETTER.width * scale * point.name.length;
    const free = taken.every(
      (other) =>
        Math.abs(other.y - y) > LETTER.height * scale ||
        x > other.x + other.width ||
        other.x > x + width,
    );
    if (!free || x + width > 1.3 * WHOLE * scale) continue;
    taken.push({ x, y, width });
    named.add(point.id);
  }
  return named;
}

/** Whether the number of a ring would cover the wanted colour or its label. */
function nearAim(ring: number, aim: Lab | undefined, scale: number): boolean {
  if (aim === undefined) return false;
  const letter = { width: WIDER * LETTER.width * scale, height: WIDER * LETTER.height * scale };
  const [, a, b] = aim;
  const clear = a > 4 * letter.width || a + 6 * scale + AIM_WORD.length * letter.width < 0;
  return !clear && Math.abs(b - ring) < letter.height;
}

function chromaOf({ lab }: PlanePoint): number {
  return Math.hypot(lab[1], lab[2]);
}

function pathOf(edge: Edge): string {
  return `${edge
    .map((chroma, i) => {
      const angle = (hueOfSector(i) / 180) * Math.PI;
      const r = Math.min(MOST, chroma);
      return `${i === 0 ? 'M' : 'L'}${(r * Math.cos(angle)).toFixed(2)} ${(-r * Math.sin(angle)).toFixed(2)}`;
    })
    .join(' ')} Z`;
}
