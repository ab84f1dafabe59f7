import fc from 'fast-check';
import { EigenvalueDecomposition, Matrix } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import {
  D50,
  filmOf,
  type Mix,
  mean,
  PAINTS,
  type Paint,
  paint,
  predict,
  RICH,
  randomFrom,
  STUDIO,
  tile,
  trueLab,
  UNSEEN,
} from '../../../test/conformance/virtual-studio.ts';
import { readPigments } from '../../../tools/pigments.ts';
import { deltaE2000 } from '../colour/difference.ts';
import { labFromSpectrum } from '../colour/spaces.ts';
import { colourWeights } from '../colour/weights.ts';
import { AppError } from '../errors.ts';
import { coefficientsOfModel, modelFromFit } from './clay-model.ts';
import { blockCovariance } from './families.ts';
import { fitClays } from './fit.ts';
import { FIT_SETTINGS } from './fit-settings.ts';
import { openModel, type PredictOptions, predictMix } from './predict.ts';
import { LATENTS, STRENGTH_LATENT } from './prior.ts';
import { priorFromPigments } from './prior-from-pigments.ts';
import { shippedPrior } from './shipped-prior.ts';
import type { TileReading } from './tile-reading.ts';

const PRIOR = shippedPrior();
const { white, black, red, blue, yellow } = PAINTS;
const learn = (readings: readonly TileReading[]) => fitClays(readings, PRIOR);
const fit = learn(RICH.map((mix) => tile(mix)));
const predictor = openModel(modelFromFit(fit));
const OPTIONS = { weights: D50, geometry: 'included', partsSpread: 0.03 } as const;
const trace = (c: Float64Array) => c[0] + c[4] + c[8];

const mixes = fc
  .uniqueArray(fc.integer({ min: 0, max: 4 }), { minLength: 1, maxLength: 5 })
  .chain((clays) =>
    fc
      .array(fc.integer({ min: 1, max: 40 }), {
        minLength: clays.length,
        maxLength: clays.length,
      })
      .map((counts) => {
        const total = counts.reduce((sum, n) => sum + n, 0);
        return clays.map((clay, i) => ({ clay, share: counts[i] / total }));
      }),
  );

describe('prediction', () => {
  it('has a covariance that is symmetric and positive definite, for any mix', () => {
    fc.assert(
      fc.property(mixes, fc.constantFrom(0, 0.01, 0.1), (parts, partsSpread) => {
        const { covariance } = predictMix(predictor, parts, { ...OPTIONS, partsSpread });
        const matrix = new Matrix([0, 3, 6].map((row) => [...covariance.subarray(row, row + 3)]));
        const rounding = 1e-12 * trace(covariance);
        expect(matrix.clone().sub(matrix.transpose()).norm('max')).toBeLessThan(rounding);
        const { realEigenvalues } = new EigenvalueDecomposition(matrix, { assumeSymmetric: true });
        expect(Math.min(...realEigenvalues)).toBeGreaterThan(0);
      }),
      { seed: 577, numRuns: 100 },
    );
  });

  it('is less certain the less exactly parts are measured out, and only for a mix', () => {
    fc.assert(
      fc.property(mixes, (parts) => {
        const [exact, fair, rough] = [0, 0.03, 0.1].map(
          (partsSpread) => predictMix(predictor, parts, { ...OPTIONS, partsSpread }).covariance,
        );
        if (parts.length === 1) expect(rough).toEqual(exact);
        else {
          expect(trace(fair)).toBeGreaterThan(trace(exact));
          // Variance of the parts grows with the square of their spread.
          const ratio = (trace(rough) - trace(exact)) / (trace(fair) - trace(exact));
          expect(ratio).toBeCloseTo((0.1 / 0.03) ** 2, 6);
        }
      }),
      { seed: 578, numRuns: 100 },
    );
  });

  it('gives uneven parts the ± that mixes measured out unevenly show', () => {
    // Amounts drawn at random instead of by slopes. 2000 draws give a variance to 3 %.
    const parts = [
      { clay: fit.set.clays.indexOf(red.name), share: 0.3 },
      { clay: fit.set.clays.indexOf(blue.name), share: 0.7 },
    ];
    const spread = 0.03;
    const byParts = (s: number) =>
      trace(predictMix(predictor, parts, { ...OPTIONS, partsSpread: s }).covariance);
    const random = randomFrom(42);
    const middle = predictMix(predictor, parts, OPTIONS).lab;
    let sum = 0;
    for (let draw = 0; draw < 2000; draw++) {
      const raw = parts.map(({ share }) => share * Math.exp(spread * random.normal()));
      const total = raw.reduce((all, v) => all + v, 0);
      const uneven = parts.map(({ clay }, i) => ({ clay, share: raw[i] / total }));
      predictMix(predictor, uneven, { ...OPTIONS, partsSpread: 0 }).lab.forEach((v, axis) => {
        sum += (v - middle[axis]) ** 2;
      });
    }
    expect(byParts(spread) - byParts(0)).toBeGreaterThan(0.9 * (sum / 2000));
    expect(byParts(spread) - byParts(0)).toBeLessThan(1.1 * (sum / 2000));
  });

  it('is the colour of its own spectrum, under any light', () => {
    for (const light of ['A', 'D65', 'FL11'] as const) {
      const weights = colourWeights(light, 10);
      const parts = [
        { clay: 2, share: 0.5 },
        { clay: 3, share: 0.5 },
      ];
      const there = predictMix(predictor, parts, { ...OPTIONS, weights });
      const here = predictMix(predictor, parts, OPTIONS);
      expect(there.spectrum).toEqual(here.spectrum);
      expect(deltaE2000(there.lab, labFromSpectrum(here.spectrum, weights))).toBeLessThan(1e-9);
      expect(deltaE2000(there.lab, here.lab)).toBeGreaterThan(0.5);
    }
  });

  it('without the gloss is darker, by the outer reflection at every band', () => {
    const parts = [{ clay: 1, share: 1 }];
    const included = predictMix(predictor, parts, OPTIONS).spectrum;
    const excluded = predictMix(predictor, parts, { ...OPTIONS, geometry: 'excluded' }).spectrum;
    included.forEach((v, band) => {
      expect(v - excluded[band]).toBeCloseTo(0.04, 12);
    });
  });

  it('does not depend on the order its parts are named in, or on parts of 0', () => {
    fc.assert(
      fc.property(mixes, (parts) => {
        const one = predictMix(predictor, parts, OPTIONS);
        const none = [0, 1, 2, 3, 4].filter((p) => !parts.some((part) => part.clay === p));
        const other = predictMix(
          predictor,
          [...none.map((clay) => ({ clay, share: 0 })), ...[...parts].reverse()],
          OPTIONS,
        );
        one.lab.forEach((v, i) => {
          expect(Math.abs(v - other.lab[i])).toBeLessThan(1e-9);
        });
        expect(Math.abs(trace(one.covariance) / trace(other.covariance) - 1)).toBeLessThan(1e-9);
      }),
      { seed: 579, numRuns: 60 },
    );
  });

  it.each([
    ['nothing', []],
    ['half a mix', [{ clay: 0, share: 0.5 }]],
    ['a clay that is not in the model', [{ clay: 5, share: 1 }]],
    ['a share that is not a number', [{ clay: 0, share: Number.NaN }]],
    [
      'a part below 0',
      [
        { clay: 0, share: 1.2 },
        { clay: 1, share: -0.2 },
      ],
    ],
    [
      'a clay twice',
      [
        { clay: 1, share: 0.5 },
        { clay: 1, share: 0.5 },
      ],
    ],
  ])('refuses %s', (_, parts) => {
    expect(() => predictMix(predictor, parts, OPTIONS)).toThrow(AppError);
  });

  it.each<[string, Partial<PredictOptions>]>([
    ['a spread of parts below 0', { partsSpread: -0.1 }],
    ['a spread of parts that is not a number', { partsSpread: Number.NaN }],
    ['a film of no thickness', { film: filmOf({ thicknessMm: 0, backing: 0.5 }) }],
    // This was read as black once, because infinite absorption came first.
    [
      'a film without end',
      { film: filmOf({ thicknessMm: Number.POSITIVE_INFINITY, backing: 0.5 }) },
    ],
    ['a backing that is brighter than light', { film: filmOf({ thicknessMm: 1, backing: 1.5 }) }],
    ['a backing of few bands', { film: { thicknessMm: 1, backing: new Float64Array(3) } }],
  ])('refuses %s', (_, wrong) => {
    const alone = [{ clay: 0, share: 1 }];
    expect(() => predictMix(predictor, alone, { ...OPTIONS, ...wrong })).toThrow(AppError);
  });
});

describe('±', () => {
  it('is several times larger for a clay known from one tile than from four', () => {
    const others = STUDIO.filter((mix) => !mix.some(([p]) => p === red));
    const four: Mix[] = [
      [[red, 1]],
      [
        [red, 1],
        [white, 3],
      ],
      [
        [red, 1],
        [white, 15],
      ],
      [
        [red, 16],
        [black, 1],
      ],
    ];
    const unseen: Mix[] = [
      [
        [red, 1],
        [white, 1],
      ],
      [
        [red, 1],
        [yellow, 3],
      ],
      [
        [red, 3],
        [black, 1],
        [white, 2],
      ],
    ];
    const size = (tiles: readonly Mix[]) =>
      mean(
        predict(learn([...others, ...tiles].map((mix) => tile(mix))), unseen).map(
          (f) => f.expected,
        ),
      );
    // Measured 13.7 against 1.7 CIELAB units.
    expect(size(four.slice(0, 1))).toBeGreaterThan(4 * size(four));
  });

  it('includes the departure from simple addition of a mix never baked; a mix baked has shown how large it is', () => {
    const model = modelFromFit(fit);
    const size = (combinationSpread: number, names: readonly string[]) => {
      const opened = openModel({ ...model, combinationSpread });
      const parts = names.map((name) => ({
        clay: fit.set.clays.indexOf(name),
        share: 1 / names.length,
      }));
      return trace(predictMix(opened, parts, { ...OPTIONS, partsSpread: 0 }).covariance);
    };
    const never = [red.name, black.name, white.name];
    expect(size(0.04, never)).toBeGreaterThan(size(0, never) + 0.05);
    expect(size(0.1, never)).toBeGreaterThan(size(0.04, never) + 0.05);
    for (const known of [[red.name], [red.name, white.name]]) {
      expect(size(0.1, known)).toBe(size(0, known));
    }
  });

  it('across two groups shrinks when one tile joins them', () => {
    const twin = (p: Paint, name: string): Paint => ({
      name,
      absorption: p.absorption.map((v) => 1.4 * v),
      scattering: p.scattering.map((v) => 1.4 * v),
    });
    const [white2, blue2] = [twin(white, 'Second White'), twin(blue, 'Second Blue')];
    const tiles: Mix[] = [
      [[white, 1]],
      [[red, 1]],
      [
        [red, 1],
        [white, 4],
      ],
      [[white2, 1]],
      [[blue2, 1]],
      [
        [blue2, 1],
        [white2, 4],
      ],
    ];
    const across: Mix[] = [
      [
        [red, 1],
        [blue2, 1],
      ],
      [
        [red, 2],
        [white2, 1],
      ],
      [
        [blue2, 1],
        [white, 2],
      ],
    ];
    const [apart, joined] = [
      tiles,
      [
        ...tiles,
        [
          [white, 1],
          [blue2, 1],
        ] as Mix,
      ],
    ].map((all) =>
      // Of scales alone: what shares count for would be unknown across both.
      predict(
        fitClays(
          all.map((mix) => tile(mix)),
          PRIOR,
          { ...FIT_SETTINGS, shareSpread: 0.01, dilutionSpread: 0.02 },
        ),
        across,
      ),
    );
    // Each mix separately: where red is the least known, the joining tile shows little.
    apart.forEach(({ expected }, i) => {
      expect(expected).toBeGreaterThan(1.2 * joined[i].expected);
    });
    expect(mean(apart.map((f) => f.expected))).toBeGreaterThan(
      1.5 * mean(joined.map((f) => f.expected)),
    );
    expect(mean(joined.map((f) => f.dE00))).toBeLessThan(0.5 * mean(apart.map((f) => f.dE00)));
  });

  it('across two groups grows with how far their scales may differ', () => {
    const white2 = { ...white, name: 'Second White' };
    const mixes: Mix[] = [
      [[white, 1]],
      [[red, 1]],
      [
        [red, 1],
        [white, 4],
      ],
      [[white2, 1]],
    ];
    const across: Mix = [
      [red, 1],
      [white2, 3],
    ];
    const size = (groupSpread: number) =>
      predict(
        fitClays(
          mixes.map((mix) => tile(mix)),
          PRIOR,
          { ...FIT_SETTINGS, groupSpread },
        ),
        [across],
      )[0].expected;
    const [tight, usual, loose] = [0.01, FIT_SETTINGS.groupSpread, 1].map(size);
    expect(usual).toBeGreaterThan(1.02 * tight);
    expect(loose).toBeGreaterThan(1.1 * usual);
  });

  it('leaves no freedom in the scale of clays without any white: one of them is the unit', () => {
    const pair: Mix[] = [
      [[blue, 1]],
      [[yellow, 1]],
      [
        [blue, 1],
        [yellow, 2],
      ],
    ];
    const learned = learn(pair.map((mix) => tile(mix)));
    const unit = learned.set.reference[0];
    expect(learned.set.classes[unit]).not.toBe('white');
    expect(Math.abs(learned.unknowns[unit][STRENGTH_LATENT])).toBeLessThan(0.01);
    const variance = blockCovariance(learned.factor, unit)[STRENGTH_LATENT * (LATENTS + 1)];
    const spread = PRIOR.means[learned.set.classes[unit]].strengthSpread;
    // 1 % of strength, and no more: the scale of S is a matter of definition.
    expect(Math.sqrt(variance) * spread).toBeLessThan(0.0101);
  });

  it('is about the size of the errors, for paints the prior has not seen and parts cut unevenly', () => {
    // Four studios of two paints left out of the prior with all their kin; every tile has its own
    // noise, uneven parts and a departure from simple addition, each of the size the product assumes.
    const studios = [
      ['Pyrrole Red', 'Cobalt Blue', /pyrrole red|naphthol|cobalt/i],
      ['Quinacridone Magenta', 'Phthalo Green Blue Shade', /quinacridone|phthalo green/i],
      ['Cadmium Orange', 'Ultramarine Blue', /orange|ultramarine/i],
      ['Diarylide Yellow', 'Dioxazine Purple', /diarylide|dioxazine/i],
    ] as const;
    const all = readPigments();
    const ratios: number[] = [];
    for (const [seed, [a, b, kin]] of studios.entries()) {
      const prior = priorFromPigments(all.filter((p) => !kin.test(p.name)));
      for (let run = 0; run < 3; run++) {
        const random = randomFrom(1000 + 10 * seed + run);
        const uneven = (mix: Mix): Mix => {
          const spread = mix.length > 1 ? Math.hypot(0.03, FIT_SETTINGS.combinationSpread) : 0;
          return mix.map(([p, parts]) => [p, parts * Math.exp(spread * random.normal())] as const);
        };
        const two = [paint(a), paint(b)];
        const plan: Mix[] = [
          [[white, 1]],
          [[black, 1]],
          [
            [black, 1],
            [white, 15],
          ],
          ...two.flatMap((p): Mix[] => [
            [[p, 1]],
            [
              [p, 1],
              [white, 3],
            ],
            [
              [p, 1],
              [white, 15],
            ],
            [
              [p, 16],
              [black, 1],
            ],
          ]),
        ];
        const learned = fitClays(
          plan.map((mix) =>
            tile(uneven(mix), { believed: mix, noise: 0.5, random, partsSpread: 0.03 }),
          ),
          prior,
        );
        for (let i = 0; i < 12; i++) {
          const n = () => random.whole(1, 8);
          const kinds: Mix[] = [
            [
              [two[0], n()],
              [white, n()],
            ],
            [
              [two[0], n()],
              [two[1], n()],
            ],
            [
              [two[0], n()],
              [two[1], n()],
              [white, n()],
            ],
            [
              [two[1], n()],
              [white, n()],
              [black, 1],
            ],
          ];
          const mix = kinds[i % 4];
          const [{ lab, covariance }] = predict(learned, [mix], 0.03);
          const truth = trueLab(uneven(mix));
          const square = lab.reduce((sum, v, axis) => sum + (v - truth[axis]) ** 2, 0);
          ratios.push(square / trace(covariance));
        }
      }
    }
    // Measured 1.56 over 144 mixes.
    expect(mean(ratios)).toBeGreaterThan(0.4);
    expect(mean(ratios)).toBeLessThan(2.5);
  });
});

describe('film', () => {
  const clear: Paint = {
    name: 'Lagoon Clear',
    absorption: blue.absorption.map((v) => v / 10),
    scattering: blue.scattering.map((v) => v / 30),
  };
  const plan = [
    [1, 0.04],
    [1, 0.85],
    [3, 0.04],
    [3, 0.85],
  ].map(([thicknessMm, backing]) => ({ thicknessMm, backing }));

  // Measured 0.01-0.24.
  it.each([
    ['lab', 10],
    ['lab', 35],
    ['spectrum', 20],
  ] as const)(
    'of a third thickness follows from two on two backings (%s, white scatters %d per mm)',
    (kind, perMm) => {
      const learned = learn([
        tile([[white, 1]], { kind }),
        ...plan.map((film) =>
          tile([[clear, 1]], { film, perMm, kind, name: `${film.thicknessMm} mm` }),
        ),
      ]);
      const opened = openModel(modelFromFit(learned));
      const parts = [{ clay: learned.set.clays.indexOf(clear.name), share: 1 }];
      for (const film of [
        { thicknessMm: 2, backing: 0.04 },
        { thicknessMm: 2, backing: 0.85 },
        { thicknessMm: 0.5, backing: 0.85 },
      ]) {
        const { lab, covariance } = predictMix(opened, parts, { ...OPTIONS, film: filmOf(film) });
        expect(deltaE2000(lab, trueLab([[clear, 1]], { film, perMm }))).toBeLessThan(0.4);
        expect(Math.sqrt(trace(covariance))).toBeLessThan(3);
      }
    },
  );

  it('with one opaque tile holding white, also shows how much white scatters per mm', () => {
    const readings = (perMm: number) => [
      tile([[white, 1]]),
      tile([
        [clear, 3],
        [white, 1],
      ]),
      ...plan.map((film) => tile([[clear, 1]], { film, perMm, name: `${film.thicknessMm} mm` })),
    ];
    // Measured 9.92 and 34.3: one tile, whose combination may depart by 4 %.
    for (const perMm of [10, 35]) {
      const { physics } = learn(readings(perMm));
      expect(Math.abs(Math.log(physics.scatteringPerMm / perMm))).toBeLessThan(0.1);
    }
  });
});

describe('model', () => {
  it('pins the scattering of its white to 1 at every band', () => {
    const model = modelFromFit(fit);
    const pinned = model.clays.findIndex((p) => p.pinned);
    expect(model.clays[pinned].name).toBe(white.name);
    expect(coefficientsOfModel(model)[pinned].scattering.every((v) => v === 1)).toBe(true);
    expect(mean(predict(fit, UNSEEN).map((f) => f.dE00))).toBeLessThan(0.4);
  });
});
