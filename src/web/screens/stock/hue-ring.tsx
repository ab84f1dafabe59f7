import { useMemo } from 'react';
import { HUED_CHROMA, type HueGap } from '../../../core/colour/hue-gaps.ts';
import { labFromLch, lchFromLab } from '../../../core/colour/spaces.ts';
import type { Lab } from '../../../core/colour/triples.ts';
import type { OpenClays } from '../../book/clays.ts';
import { hueWordsAround } from '../../colour/hue-words.ts';
import { screenColour } from '../../colour/screen-colour.ts';
import { spokenColour } from '../../colour/spoken-colour.ts';
import { type BlockOnRing, gapMixInWords, gapsOf, useGapMixes } from './gap-mixes.ts';

const SIZE = 360;
const MIDDLE = SIZE / 2;
const MOST_CHROMA = 90;
const OUTSIDE = MIDDLE - 24;

/** All blocks on the circle of hues: grey in the middle, bright outside, gaps hatched. */
export function HueRing({
  blocks,
  open,
}: {
  readonly blocks: readonly BlockOnRing[];
  /** The clays, where they are open: they say what becomes of a mix across a gap. */
  readonly open: OpenClays | undefined;
}) {
  const gaps = useMemo(() => gapsOf(blocks), [blocks]);
  const said = sentences(gaps, blocks, useGapMixes(open, blocks, gaps));
  const grey = blocks.filter(({ lab }) => lchFromLab(lab)[1] < HUED_CHROMA).length;
  return (
    <figure className="ring">
      <div className="bench">
        <svg viewBox={`-72 0 ${SIZE + 144} ${SIZE}`} role="img" aria-label={said.join(' ')}>
          <defs>
            <pattern
              id="ring-hatch"
              width="6"
              height="6"
              patternUnits="userSpaceOnUse"
              patternTransform="rotate(45)"
            >
              <line x1="0" y1="0" x2="0" y2="6" className="ring-line" />
            </pattern>
          </defs>
          {gaps.map(({ from, to }) => (
            <path key={from} d={wedge(from, to)} fill="url(#ring-hatch)" />
          ))}
          {[30, 60, 90].map((chroma) => (
            <circle
              key={chroma}
              cx={MIDDLE}
              cy={MIDDLE}
              r={(chroma / MOST_CHROMA) * OUTSIDE}
              className="ring-axis"
            />
          ))}
          {hueWordsAround(OUTSIDE + 8).map(({ word, x, y, anchor }) => (
            <text
              key={word}
              className="ring-word"
              x={MIDDLE + x}
              y={MIDDLE + y + 4}
              textAnchor={anchor}
              data-between={word.includes('-') || undefined}
            >
              {word}
            </text>
          ))}
          {blocks.map(({ id, lab }) => {
            const [, chroma, hue] = lchFromLab(lab);
            const [x, y] = place(hue, Math.min(MOST_CHROMA, chroma));
            return (
              <rect
                key={id}
                x={x - 8}
                y={y - 8}
                width={16}
                height={16}
                className="ring-tile"
                style={{ fill: screenColour(lab).css }}
              />
            );
          })}
        </svg>
      </div>
      <figcaption className="stack">
        {said.map((sentence) => (
          <p key={sentence}>{sentence}</p>
        ))}
        {grey === 0 ? null : (
          <p className="soft small">Greys, whites and blacks are in the middle and have no hue.</p>
        )}
      </figcaption>
    </figure>
  );
}

function sentences(
  gaps: readonly HueGap[],
  blocks: readonly BlockOnRing[],
  mixes: readonly (Lab | undefined)[],
): string[] {
  if (blocks.length === 0) return ['No block has a colour yet.'];
  if (gaps.length === 0) {
    return ['There is no wide gap between the hues.'];
  }
  return gaps.map(({ from, to, before, after }, i) => {
    const middle = ((from + to) / 2) % 360;
    const name = spokenColour(labFromLch([60, 55, middle]));
    if (before === after)
      return `Only ${blocks[before].name} has a hue; all other hues are missing.`;
    return `Gap: no ${name} clay between ${blocks[before].name} and ${blocks[after].name}.${gapMixInWords([blocks[before].lab, blocks[after].lab], mixes[i])}`;
  });
}

function place(hue: number, chroma: number): readonly [number, number] {
  const radians = (hue * Math.PI) / 180;
  const r = (chroma / MOST_CHROMA) * OUTSIDE;
  return [MIDDLE + r * Math.cos(radians), MIDDLE - r * Math.sin(radians)];
}

function wedge(from: number, to: number): string {
  const [x1, y1] = place(from, MOST_CHROMA);
  const [x2, y2] = place(to, MOST_CHROMA);
  const large = to - from > 180 ? 1 : 0;
  return `M${MIDDLE} ${MIDDLE} L${x1} ${y1} A${OUTSIDE} ${OUTSIDE} 0 ${large} 0 ${x2} ${y2} Z`;
}
