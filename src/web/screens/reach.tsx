import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { Label, Slider, SliderThumb, SliderTrack } from 'react-aria-components';
import { labFromLch, lchFromLab } from '../../core/colour/spaces.ts';
import type { Lab } from '../../core/colour/triples.ts';
import type { OpenClays } from '../book/clays.ts';
import { useKeptHere } from '../book/kept-here.ts';
import { useBlockNames } from '../book/names.ts';
import { useAll } from '../book/queries.ts';
import { screenColour } from '../colour/screen-colour.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { Choice } from '../parts/choice.tsx';
import { ClaysGate } from '../parts/clays-gate.tsx';
import { Part } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { FIRST_WANTED, isWanted } from '../seek/wanted.ts';

const RINGS = [20, 40, 60, 80];
const MOST = 90;
const SECTORS = 72;
/** Along the slider of lightness. */
const GREYS = Array.from({ length: 24 }, (_, i) => 5 + (i + 0.5) * 3.83);
/** How far from the slider's lightness a mix still counts, L*. */
const SLICE = 4;

/** What can the clays I own make, and does an aim lie inside? */
export function Reach() {
  return <ClaysGate>{(clays) => <ReachOf clays={clays} />}</ClaysGate>;
}

function ReachOf({ clays }: { clays: OpenClays }) {
  const lines = useAll('line');
  const blocks = useAll('block');
  const [lightness, setLightness] = useState(55);
  const [one, setOne] = useState('all');
  const [other, setOther] = useState('none');
  const [question] = useKeptHere('seek', FIRST_WANTED, isWanted);
  const { nameOf } = useBlockNames();
  const stockOf = (which: string) =>
    clays.blocks
      .filter(({ blockId }) => which === 'all' || blocks.byId.get(blockId)?.body.lineId === which)
      .map(({ parent }) => parent);
  const mine = useReach(clays, one === 'none' ? [] : stockOf(one));
  const theirs = useReach(clays, other === 'none' ? [] : stockOf(other));
  const aim = question.aim?.lab;
  const choices = [
    ['all', 'All I own'] as const,
    ...lines.records.map(({ id, body }) => [id, body.name] as const),
  ];
  const edge = mine === undefined ? undefined : edgeOf(mine, lightness);
  const otherEdge = theirs === undefined ? undefined : edgeOf(theirs, lightness);
  const points = clays.blocks.filter(({ lab }) => Math.abs(lab[0] - lightness) <= 2 * SLICE);
  return (
    <div className="screen">
      <header>
        <h1>Reach</h1>
        <p className="soft">
          The hatched shape holds the colours of one lightness that mixes of two and three clays can
          have; the middle is grey, outwards it gets brighter.
        </p>
      </header>
      <div className="stack">
        <Choice label="Stock" value={one} onChange={setOne} options={choices} />
        <Choice
          label="Stock to compare it with"
          value={other}
          onChange={setOther}
          options={[['none', 'Nothing beside it'] as const, ...choices]}
        />
      </div>
      <section className="bench" aria-label="Hue and chroma">
        <Slider
          className="way"
          minValue={5}
          maxValue={97}
          value={lightness}
          onChange={setLightness}
        >
          <Label className="field-label">Lightness, dark to light</Label>
          <SliderTrack className="way-track">
            <span className="way-stops" aria-hidden="true">
              {GREYS.map((grey) => (
                <span key={grey} style={{ background: screenColour([grey, 0, 0]).css }} />
              ))}
            </span>
            <SliderThumb className="way-thumb" />
          </SliderTrack>
        </Slider>
        {edge === undefined ? (
          <JobProgress what="Mixing everything with everything" />
        ) : (
          <svg
            className="plane"
            viewBox="-110 -110 220 220"
            role="img"
            aria-label={sentenceOf(edge, lightness)}
          >
            <defs>
              <pattern
                id="hatch"
                width="4"
                height="4"
                patternUnits="userSpaceOnUse"
                patternTransform="rotate(45)"
              >
                <line
                  x1="0"
                  y1="0"
                  x2="0"
                  y2="4"
                  stroke="currentColor"
                  strokeWidth="0.7"
                  opacity="0.55"
                />
              </pattern>
              <pattern
                id="hatch-other"
                width="5"
                height="5"
                patternUnits="userSpaceOnUse"
                patternTransform="rotate(-45)"
              >
                <line
                  x1="0"
                  y1="0"
                  x2="0"
                  y2="5"
                  stroke="currentColor"
                  strokeWidth="0.5"
                  opacity="0.4"
                />
              </pattern>
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
            {otherEdge === undefined || other === 'none' ? null : (
              <path
                d={pathOf(otherEdge)}
                fill="url(#hatch-other)"
                stroke="currentColor"
                strokeWidth="0.8"
                strokeDasharray="3 2"
              />
            )}
            {points.map(({ blockId, lab }) => (
              <g key={blockId}>
                <rect
                  x={lab[1] - 3}
                  y={-lab[2] - 3}
                  width="6"
                  height="6"
                  style={{ fill: screenColour(lab).css }}
                  stroke="currentColor"
                  strokeWidth="0.3"
                />
                <text x={lab[1] + 4} y={-lab[2] + 2}>
                  {nameOf(blockId)}
                </text>
              </g>
            ))}
            {aim === undefined || Math.abs(aim[0] - lightness) > 3 * SLICE ? null : (
              <g>
                <rect
                  x={aim[1] - 4}
                  y={-aim[2] - 4}
                  width="8"
                  height="8"
                  style={{ fill: screenColour(aim).css }}
                  stroke="currentColor"
                  strokeWidth="1"
                />
                <text x={aim[1] + 6} y={-aim[2] + 2}>
                  aim
                </text>
              </g>
            )}
          </svg>
        )}
        {edge === undefined ? null : <p>{sentenceOf(edge, lightness)}</p>}
        {aim === undefined ? (
          <p>
            <Link to="/seek">Choose an aim in Seek</Link>, and it is shown here, inside or outside.
          </p>
        ) : edge === undefined ? null : (
          <p className="lead">{aimInWords(aim, mine ?? [])}</p>
        )}
      </section>
      {edge === undefined ? null : (
        <Part title="The same as a table">
          <table className="figures">
            <tbody>
              {Array.from({ length: 12 }, (_, i) => (
                // biome-ignore lint/suspicious/noArrayIndexKey: twelve fixed hues
                <tr key={i}>
                  <th scope="row">hue {i * 30}°</th>
                  <td>chroma up to {edge[(i * SECTORS) / 12].toFixed(0)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </Part>
      )}
    </div>
  );
}

function useReach(clays: OpenClays, parents: readonly number[]): readonly Lab[] | undefined {
  const { data } = useQuery({
    queryKey: ['clays', 'reach', clays.modelId ?? 'rough', parents],
    queryFn: () => (parents.length === 0 ? [] : clays.desk.reach(parents)),
  });
  return data;
}

/** Largest chroma of each hue sector among mixes near a lightness; gaps are bridged by neighbours. */
function edgeOf(points: readonly Lab[], lightness: number): readonly number[] {
  const edge = new Array<number>(SECTORS).fill(0);
  for (const lab of points) {
    if (Math.abs(lab[0] - lightness) > SLICE) continue;
    const [, chroma, hue] = lchFromLab(lab);
    const sector = Math.floor((hue / 360) * SECTORS) % SECTORS;
    edge[sector] = Math.max(edge[sector], chroma);
  }
  return edge.map((v, i) =>
    v > 0 ? v : Math.min(edge[(i + SECTORS - 1) % SECTORS], edge[(i + 1) % SECTORS]),
  );
}

function pathOf(edge: readonly number[]): string {
  return `${edge
    .map((chroma, i) => {
      const angle = ((i + 0.5) / SECTORS) * 2 * Math.PI;
      const r = Math.min(MOST + 15, chroma);
      return `${i === 0 ? 'M' : 'L'}${(r * Math.cos(angle)).toFixed(2)} ${(-r * Math.sin(angle)).toFixed(2)}`;
    })
    .join(' ')} Z`;
}

function sentenceOf(edge: readonly number[], lightness: number): string {
  const most = edge.indexOf(Math.max(...edge));
  if (edge[most] < 1) return `No mix of these clays is that ${lightness > 60 ? 'light' : 'dark'}.`;
  const hueOf = (i: number) => ((i + 0.5) / SECTORS) * 360;
  const farthest = spokenColour(labFromLch([lightness, edge[most], hueOf(most)]));
  const least = edge.indexOf(Math.min(...edge));
  const poorest = spokenColour(labFromLch([lightness, 40, hueOf(least)]));
  return `At this lightness they reach farthest towards ${farthest}, and least towards ${poorest}.`;
}

function aimInWords(aim: Lab, points: readonly Lab[]): string {
  const edge = edgeOf(points, aim[0]);
  const [, chroma, hue] = lchFromLab(aim);
  const most = edge[Math.floor((hue / 360) * SECTORS) % SECTORS];
  if (chroma <= most) return 'Your aim lies inside: mixes of these clays can have it.';
  return `Your aim lies outside: of this hue and lightness the brightest mix has chroma ${most.toFixed(0)}, and the aim ${chroma.toFixed(0)}. A brighter clay near that hue would do it.`;
}
