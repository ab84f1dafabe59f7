import type { Lab } from '../../core/colour/triples.ts';
import { screenColour } from '../colour/screen-colour.ts';
import { type Edge, hueOfSector } from './reach-edge.ts';

const RINGS = [20, 40, 60, 80];
/** Past it colours are drawn at the rim. */
const MOST = 105;
/** Size of a letter and a line in the plane's own units. */
const LETTER = { width: 2.5, height: 5 };

export interface PlanePoint {
  readonly id: string;
  readonly name: string;
  readonly lab: Lab;
}

/** Hue round the circle, chroma outwards, at one lightness: a region hatched, another beside it dashed. */
export function HueChromaPlane({
  label,
  edge,
  other,
  points,
  aim,
}: {
  readonly label: string;
  readonly edge: Edge;
  readonly other: Edge | undefined;
  readonly points: readonly PlanePoint[];
  /** Faint where it has another lightness. */
  readonly aim: { readonly lab: Lab; readonly here: boolean } | undefined;
}) {
  const named = namesWithRoom(points, aim?.lab);
  return (
    <svg className="plane" viewBox="-110 -110 220 220" role="img" aria-label={label}>
      <defs>
        <Hatch id="hatch" turn={45} width={4} opacity={0.55} />
        <Hatch id="hatch-other" turn={-45} width={5} opacity={0.4} />
      </defs>
      {RINGS.map((r) => (
        <g key={r}>
          <circle r={r} fill="none" stroke="currentColor" strokeWidth="0.3" opacity="0.5" />
          <text x="1" y={-r - 1}>
            {r}
          </text>
        </g>
      ))}
      <path d={pathOf(edge)} fill="url(#hatch)" stroke="currentColor" strokeWidth="0.8" />
      {other === undefined ? null : (
        <path
          d={pathOf(other)}
          fill="url(#hatch-other)"
          stroke="currentColor"
          strokeWidth="0.8"
          strokeDasharray="3 2"
        />
      )}
      {points.map(({ id, name, lab }) => (
        <g key={id}>
          <rect
            x={lab[1] - 3}
            y={-lab[2] - 3}
            width="6"
            height="6"
            style={{ fill: screenColour(lab).css }}
            stroke="currentColor"
            strokeWidth="0.3"
          />
          {named.has(id) ? (
            <text x={lab[1] + 4} y={-lab[2] + 2}>
              {name}
            </text>
          ) : null}
        </g>
      ))}
      {aim === undefined ? null : (
        <g opacity={aim.here ? 1 : 0.5}>
          <rect
            x={aim.lab[1] - 4}
            y={-aim.lab[2] - 4}
            width="8"
            height="8"
            style={{ fill: screenColour(aim.lab).css }}
            stroke="currentColor"
            strokeWidth="1.2"
          />
          <text x={aim.lab[1] + 6} y={-aim.lab[2] + 2}>
            {aim.here ? 'aim' : 'aim, of another lightness'}
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

/** Names are written where they lie on no other; the brightest first, since the edge is theirs. */
function namesWithRoom(points: readonly PlanePoint[], aim: Lab | undefined): ReadonlySet<string> {
  const named = new Set<string>();
  const taken: { x: number; y: number; width: number }[] = [];
  if (aim !== undefined) taken.push({ x: aim[1] + 6, y: -aim[2], width: LETTER.width * 4 });
  const chroma = ({ lab }: PlanePoint) => Math.hypot(lab[1], lab[2]);
  for (const point of points.toSorted((one, other) => chroma(other) - chroma(one))) {
    const x = point.lab[1] + 4;
    const y = -point.lab[2];
    const width = LETTER.width * point.name.length;
    const free = taken.every(
      (other) =>
        Math.abs(other.y - y) > LETTER.height || x > other.x + other.width || other.x > x + width,
    );
    if (!free || x + width > 110) continue;
    taken.push({ x, y, width });
    named.add(point.id);
  }
  return named;
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
