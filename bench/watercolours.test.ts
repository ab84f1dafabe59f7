import { describe, expect, it } from 'vitest';
import { deltaE2000 } from '../src/core/colour/difference.ts';
import { labFromSpectrum } from '../src/core/colour/spaces.ts';
import { mean } from './random.ts';
import { errorOf } from './watercolour-choice.ts';
import { opaqueLimits } from './watercolour-clay.ts';
import { readWatercolours, WEIGHTS } from './watercolour-data.ts';
import {
  brushedLayer,
  diffuseTransmittance,
  type FilmTheory,
  PLAIN,
  thicknesses,
} from './watercolour-film.ts';
import { learnEach } from './watercolour-fit.ts';
import { rivals } from './watercolour-rivals.ts';

/** What layers of one paint choose; see docs/adr/0010-films-on-paper.md. */
const CHOSEN: FilmTheory = {
  ...PLAIN,
  surface: { outer: 0.01, inner: 0.6, glossShare: 1 },
  unevenness: 0.8,
  transmitted: { kind: 'straight', loss: 2 },
};

describe('two-paint layers on paper predicted from layers of one paint', () => {
  // Measured layers: Chen, Huang, Chang, Ouhyoung, arXiv:1904.00275 (2019).
  const data = readWatercolours();
  const paints = learnEach(CHOSEN, data.primaries, data.paper);
  const film = mean(data.mixtures.map((m) => errorOf(CHOSEN, paints, m, data.paper)));

  it('holds the whole set: 13 paints, 143 layers of one paint, 520 of two', () => {
    expect([data.names.size, data.primaries.length, data.mixtures.length]).toEqual([13, 143, 520]);
  });

  it('is closer than every simpler rule by more than the lower end of its interval', () => {
    // Seen: 4.76 against 6.85; the gain over the best rule is 1.24 to 2.90 (5-95 %, by pairs).
    const LEAST_GAIN = 1.2;
    for (const [name, predict] of Object.entries(rivals(data, paints))) {
      const rule = mean(
        data.mixtures.map((m) => deltaE2000(labFromSpectrum(predict(m), WEIGHTS), m.lab)),
      );
      expect(rule - film, name).toBeGreaterThan(LEAST_GAIN);
    }
  });

  it('learns from transmittance: reflectance over one paper alone is worse', () => {
    // Seen: 5.43 against 4.76.
    const alone: FilmTheory = { ...CHOSEN, transmitted: { kind: 'none' } };
    const without = learnEach(alone, data.primaries, data.paper);
    const errors = data.mixtures.map((m) => errorOf(alone, without, m, data.paper));
    expect(mean(errors) - film).toBeGreaterThan(0.3);
  });
});

describe('one band of a brushed layer', () => {
  it('slopes as it moves, in reflectance and in transmittance', () => {
    const spread = thicknesses(CHOSEN);
    const at = (dk: number, ds: number) =>
      brushedLayer(CHOSEN, spread, 0.7 * Math.exp(dk), 1.3 * Math.exp(ds), 0.8, 0.85);
    const h = 1e-5;
    const { reflectanceByLnK, reflectanceByLnS, transmittanceByLnK, transmittanceByLnS } = at(0, 0);
    const by = (key: 'reflectance' | 'transmittance', dk: number, ds: number) =>
      (at(dk, ds)[key] - at(-dk, -ds)[key]) / (2 * h);
    expect(reflectanceByLnK).toBeCloseTo(by('reflectance', h, 0), 7);
    expect(reflectanceByLnS).toBeCloseTo(by('reflectance', 0, h), 7);
    expect(transmittanceByLnK).toBeCloseTo(by('transmittance', h, 0), 7);
    expect(transmittanceByLnS).toBeCloseTo(by('transmittance', 0, h), 7);
  });

  it('keeps its mean thickness, however uneven', () => {
    const rows = thicknesses({ ...PLAIN, unevenness: 0.8 });
    expect(rows.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 12);
    // Seven points carry exp(0.8 z) to about 1e-6.
    expect(rows.reduce((sum, { times, share }) => sum + share * times, 0)).toBeCloseTo(1, 5);
  });

  it('lets light through by 1 / (1 + S X) where nothing absorbs, and by exp(-K X) where nothing scatters', () => {
    // Limits of the film formula, [Kubelka1948].
    expect(diffuseTransmittance(0, 3, 0)).toBeCloseTo(0.25, 12);
    expect(diffuseTransmittance(2, 0, 0)).toBeCloseTo(Math.exp(-2), 12);
  });
});

describe('where a 3 mm tile stops being opaque', () => {
  it('reads one colour on both cards at the scattering given, and needs more the paler it is', () => {
    const limits = opaqueLimits([0.9, 0.6, 0.2]);
    const needed = limits.map(({ cardsApart }) => cardsApart);
    expect(needed[0]).toBeGreaterThan(needed[1]);
    expect(needed[1]).toBeGreaterThan(needed[2]);
    for (const { contrast } of limits) {
      // Full hiding is a contrast ratio of 0.98 (ISO 6504-1); 1 dE00 of two greys is a little short of it.
      expect(contrast).toBeGreaterThan(0.94);
      expect(contrast).toBeLessThan(0.98);
    }
  });
});
