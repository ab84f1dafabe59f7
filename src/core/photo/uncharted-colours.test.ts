import { describe, expect, it } from 'vitest';
import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import type { Seen } from './camera-model.ts';
import { curveTable, SRGB_TO_XYZ_D50, srgbDecoded } from './encoding.ts';
import { roughCovariance, unchartedColours, unchartedLab } from './uncharted-colours.ts';

const table = curveTable(255, srgbDecoded);
const colour = { curves: [table, table, table] as const, toXyz: SRGB_TO_XYZ_D50 };
const seen = (code: readonly [number, number, number]): Seen => ({
  code,
  light: [1, 1, 1],
  u: 0,
  v: 0,
});

describe('unchartedColours', () => {
  it('makes a grey card neutral, whatever the lamp', () => {
    const look = unchartedColours(colour, {
      greyCard: [0.3, 0.2, 0.1],
      paper: [0.9, 0.62, 0.3],
    });
    expect(look.balanced).toBe('by a grey card');
    const card = unchartedLab(look, {
      ...seen([0.5, 0.5, 0.5]),
      light: [srgbDecoded(0.5) / 0.3, srgbDecoded(0.5) / 0.2, srgbDecoded(0.5) / 0.1],
    });
    expect(Math.hypot(card[1], card[2])).toBeLessThan(0.1);
  });

  it('never takes the colour of paper for white', () => {
    const plain = unchartedColours(colour, { paper: [0.8, 0.8, 0.8] });
    const bluish = unchartedColours(colour, { paper: [0.8, 0.8, 0.9] });
    const [a, b] = [plain, bluish].map((look) => unchartedLab(look, seen([0.5, 0.5, 0.5])));
    expect(Math.hypot(a[1] - b[1], a[2] - b[2])).toBeLessThan(0.1);
  });

  it('gives control tiles the colours they are known by', () => {
    const known: Lab = [55, 12, -8];
    const one = seen([0.7, 0.5, 0.35]);
    const look = unchartedColours(colour, { known: [{ seen: one, lab: known }] });
    expect(deltaE2000(unchartedLab(look, one), known)).toBeLessThan(0.1);
  });

  it('is far more certain of a small difference than of a colour', () => {
    const look = unchartedColours(colour, {});
    const c = roughCovariance(look, [
      [50, 10, 10],
      [52, 11, 10],
    ]);
    const own = c[0];
    const difference = c[0] + c[3 * 6 + 3] - 2 * c[3];
    expect(difference).toBeLessThan(own / 20);
  });

  it('is less certain of strong colours, and of lightness where no paper shows it', () => {
    const spreadOf = (look: ReturnType<typeof unchartedColours>, lab: Lab) =>
      [0, 4, 8].map((at) => Math.sqrt(roughCovariance(look, [lab])[at]));
    const bare = unchartedColours(colour, {});
    const onPaper = unchartedColours(colour, { paper: [0.8, 0.8, 0.8] });
    const [light, a] = spreadOf(onPaper, [50, 5, 0]);
    expect(spreadOf(bare, [50, 5, 0])[0]).toBeGreaterThan(2 * light);
    expect(spreadOf(onPaper, [50, 60, 0])[1]).toBeGreaterThan(2 * a);
  });
});
