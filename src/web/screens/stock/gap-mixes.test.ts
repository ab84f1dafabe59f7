import { describe, expect, it } from 'vitest';
import { labFromLch } from '../../../core/colour/spaces.ts';
import { gapMixInWords, gapsOf } from './gap-mixes.ts';

const colour = (chroma: number, hue: number) => labFromLch([60, chroma, hue]);

describe('a gap between the hues of blocks', () => {
  it('is said to be dull to mix across only where the model predicts so', () => {
    const ends = [colour(50, 30), colour(40, 120)] as const;
    expect(gapMixInWords(ends, colour(20, 75))).toContain('duller than either');
    expect(gapMixInWords(ends, colour(45, 75))).toContain('about as bright');
    expect(gapMixInWords(ends, colour(60, 75))).toContain('brighter than either');
    expect(gapMixInWords(ends, undefined)).toBe('');
  });

  it('is shown where it is wide, at most three', () => {
    const blocks = [0, 20, 40].map((hue) => ({
      id: `${hue}`,
      name: `${hue}`,
      lab: colour(50, hue),
    }));
    expect(gapsOf(blocks).map(({ before, after }) => [before, after])).toEqual([[2, 0]]);
    const apart = [0, 72, 144, 216, 288].map((hue) => ({
      id: `${hue}`,
      name: `${hue}`,
      lab: colour(50, hue),
    }));
    expect(gapsOf(apart)).toHaveLength(3);
  });
});
