/**
 * Rules that every maker knows about mixing, tested on many clays: measured paints, these paled
 * with white and mixed in pairs, and clays drawn from the prior. The rules are common practice, no
 * source. Some do not hold for every clay; each is listed with the condition under which it holds,
 * and with a clay for which it does not.
 */
import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../bench/random.ts';
import { type ClayClass, classFromMasstone } from '../../src/core/clay/clay-class.ts';
import { mixSlopes } from '../../src/core/clay/mixture.ts';
import { coefficientsFromLatent, LATENTS } from '../../src/core/clay/prior.ts';
import { shippedPrior } from '../../src/core/clay/shipped-prior.ts';
import { BANDS, GRID_NM } from '../../src/core/colour/grid.ts';
import { labFromSpectrum, lchFromLab } from '../../src/core/colour/spaces.ts';
import type { Lab, Lch } from '../../src/core/colour/triples.ts';
import { colourWeights } from '../../src/core/colour/weights.ts';
import { claySurface } from '../../src/core/optics/surface.ts';
import { readPigments } from '../../tools/pigments.ts';

interface Clay {
  readonly name: string;
  readonly white: boolean;
  readonly absorption: Float64Array;
  readonly scattering: Float64Array;
}
type Mix = readonly (readonly [clay: Clay, parts: number])[];

/** Sums of the same numbers in another order. */
const ROUNDING = 1e-9;
/** Simple addition, and the exponent that measured pastes have. */
const DILUTIONS = [0, 0.05];
const RATIOS = [
  [40, 1],
  [16, 1],
  [4, 1],
  [2, 1],
  [1, 1],
  [1, 2],
  [1, 4],
  [1, 16],
] as const;
const weights = colourWeights('D50', 2);

function spectrum(mix: Mix, dilution = DILUTIONS[1]): Float64Array {
  const total = mix.reduce((sum, [, parts]) => sum + parts, 0);
  return mixSlopes(
    mix.map(([, parts], clay) => ({ clay, share: parts / total })),
    mix.map(([clay]) => clay),
    mix.map(([clay]) => (clay.white ? 'white' : 'opaque')),
    { dilution, shareExponent: 0, scatteringPerMm: 20 },
    claySurface('included'),
  ).reflectance;
}
const lab = (mix: Mix, dilution?: number): Lab => labFromSpectrum(spectrum(mix, dilution), weights);
const lch = (mix: Mix, dilution?: number): Lch => lchFromLab(lab(mix, dilution));
const alone = (clay: Clay): Lch => lch([[clay, 1]]);

function blended(one: Clay, other: Clay, share: number): Clay {
  const blend = (a: Float64Array, b: Float64Array) =>
    a.map((v, band) => (1 - share) * v + share * b[band]);
  return {
    name: `${one.name} with ${share} ${other.name}`,
    white: false,
    absorption: blend(one.absorption, other.absorption),
    scattering: blend(one.scattering, other.scattering),
  };
}

const MEASURED: readonly Clay[] = readPigments().map(({ file, name, absorption, scattering }) => ({
  name: `${name} (${file.slice(7, 9)})`,
  white: name.startsWith('Titanium White'),
  absorption,
  scattering,
}));
const WHITES = MEASURED.filter(({ white }) => white);
const COLOURS = MEASURED.filter(({ white }) => !white);
const [WHITE] = WHITES;
const random = randomFrom(10);
const any = <T>(items: readonly T[]): T => items[random.whole(0, items.length - 1)];
const PALED = COLOURS.flatMap((clay) => [0.5, 0.8, 0.95].map((s) => blended(clay, WHITE, s)));
const PAIRS = Array.from({ length: 60 }, () =>
  blended(any(COLOURS), any(COLOURS), random.uniform()),
);

function drawn(clayClass: ClayClass, count: number): Clay[] {
  return Array.from({ length: count }, (_, i) => ({
    name: `${clayClass} ${i}`,
    white: clayClass === 'white',
    ...coefficientsFromLatent(
      shippedPrior(),
      clayClass,
      Float64Array.from({ length: LATENTS }, () => random.normal()),
    ),
  }));
}
const DRAWN = (['opaque', 'pastel', 'concentrate'] as const).flatMap((c) => drawn(c, 60));
const ALL = [...COLOURS, ...PALED, ...PAIRS, ...DRAWN];
/** The prior also draws whites and blacks with a strong hue; these look white and black. */
const looks = (clayClass: ClayClass) => (clay: Clay) =>
  classFromMasstone(lab([[clay, 1]])) === clayClass;
const LOOK_WHITE = [...WHITES, ...drawn('white', 60).filter(looks('white')).slice(0, 8)];
const LOOK_BLACK = [...COLOURS, ...drawn('black', 60)].filter(looks('black'));

const ratio = (clay: Clay, band: number) => clay.absorption[band] / clay.scattering[band];
/** Whether the first absorbs at least as much for its scattering as the second, band by band. */
const isDeeper = (one: Clay, other: Clay, fromNm = 380, toNm = 730) =>
  GRID_NM.every((nm, band) => nm < fromNm || nm > toNm || ratio(one, band) >= ratio(other, band));

describe('white and black', () => {
  it('give greys that grow lighter with every part of white', () => {
    expect(LOOK_WHITE).toHaveLength(10);
    expect(LOOK_BLACK.length).toBeGreaterThan(15);
    for (const white of LOOK_WHITE) {
      for (const black of LOOK_BLACK) {
        for (const dilution of DILUTIONS) {
          let before = lab([[black, 1]], dilution)[0];
          for (const [blacks, whites] of RATIOS) {
            const [l] = lab(
              [
                [white, whites],
                [black, blacks],
              ],
              dilution,
            );
            expect(l, `${white.name}, ${black.name}`).toBeGreaterThan(before);
            before = l;
          }
        }
      }
    }
  });

  // Memory, no source: 3 white to 1 black at K(black)/S(white) of 1, 3, 10, 30 gives L* 60, 48, 36, 29.
  // Worked out with a black that absorbs only, k1 = 0.04, k2 = 0.6, gloss included, it is 59.7, 47.3,
  // 35.7 and 28.9: within 1 of each.
  it.each([
    [1, 60],
    [3, 48],
    [10, 36],
    [30, 29],
  ])('give L* near the remembered one at K/S %d', (strength, expected) => {
    const level = (v: number) => new Float64Array(BANDS).fill(v);
    const white = { name: 'white', white: true, absorption: level(0), scattering: level(1) };
    const black = {
      name: 'black',
      white: false,
      absorption: level(strength),
      scattering: level(0),
    };
    const [l] = lab(
      [
        [white, 3],
        [black, 1],
      ],
      0,
    );
    expect(Math.abs(l - expected)).toBeLessThan(1);
  });
});

describe('adding black or white', () => {
  // K/S of a mix is between those of its clays in every band. So where the black is deeper in every
  // band, reflectance falls in every band: the rule is exact there, in each step.
  it('darkens every band with every part of a black that is deeper in every band', () => {
    let held = 0;
    for (const black of LOOK_BLACK) {
      for (const clay of ALL.filter((c) => isDeeper(black, c))) {
        held++;
        let before = spectrum([[clay, 1]]);
        for (const [parts, blacks] of RATIOS) {
          const now = spectrum([
            [clay, parts],
            [black, blacks],
          ]);
          expect(now.every((v, band) => v <= before[band] + ROUNDING)).toBe(true);
          before = now;
        }
      }
    }
    expect(held).toBeGreaterThan(1000);
  });

  // A black need not be deeper in every band, if it looks black and the clay is at least 1 lighter
  // in L*. Closer than that the rule can just fail: a drawn black of L* 26 raises Phthalo Blue
  // (Green Shade), 26 too, by 0.16.
  it('never raises the lightness of a clay 1 lighter or more where the black looks black', () => {
    let unlike = 0;
    for (const black of LOOK_BLACK) {
      const [blackL] = alone(black);
      for (const clay of ALL) {
        const [before] = alone(clay);
        if (before <= blackL + 1) continue;
        if (!isDeeper(black, clay)) unlike++;
        for (const [parts, blacks] of RATIOS) {
          const [l] = lab([
            [clay, parts],
            [black, blacks],
          ]);
          expect(l, `${clay.name}, ${black.name}`).toBeLessThanOrEqual(before + ROUNDING);
        }
      }
    }
    expect(unlike).toBeGreaterThan(20);
  });

  // With an exponent the colour is a little stronger per part the less of it there is beside white, so
  // only the comparison with the clay alone is exact: a band nearly as light as the white's may pass it.
  it('lightens every band with a white that is less deep in every band', () => {
    let held = 0;
    for (const white of LOOK_WHITE) {
      for (const clay of ALL.filter((c) => isDeeper(c, white))) {
        held++;
        for (const dilution of DILUTIONS) {
          let before = spectrum([[clay, 1]], dilution);
          for (const [parts, whites] of RATIOS) {
            const mix: Mix = [
              [clay, parts],
              [white, whites],
            ];
            const now = spectrum(mix, dilution);
            expect(now.every((v, band) => v >= before[band] - ROUNDING)).toBe(true);
            if (dilution === 0) before = now;
          }
        }
      }
    }
    expect(held).toBeGreaterThan(1000);
  });

  it('never lowers the lightness of a darker clay where the white is a titanium white', () => {
    for (const white of WHITES) {
      for (const clay of ALL) {
        for (const dilution of DILUTIONS) {
          const [before] = lab([[clay, 1]], dilution);
          if (before >= alone(white)[0]) continue;
          for (const [parts, whites] of RATIOS) {
            const mix: Mix = [
              [clay, parts],
              [white, whites],
            ];
            const [l] = lab(mix, dilution);
            expect(l, `${clay.name}, ${white.name}`).toBeGreaterThanOrEqual(before - ROUNDING);
          }
        }
      }
    }
  });

  // A white with a tinge can: one of L* 95, chroma 10, greenish, takes 1.3 from a yellow of L* 94. What
  // looks white takes no more than 1.5; of whites drawn with a strong hue, some take 10.
  it('may lower a light yellow a little where the white has a tinge', () => {
    let most = 0;
    for (const white of LOOK_WHITE) {
      for (const clay of ALL) {
        const [before] = alone(clay);
        if (before >= alone(white)[0]) continue;
        for (const [parts, whites] of RATIOS) {
          const mix: Mix = [
            [clay, parts],
            [white, whites],
          ];
          most = Math.max(most, before - lab(mix)[0]);
        }
      }
    }
    expect(most).toBeGreaterThan(0);
    expect(most).toBeLessThan(1.5);
  });
});

/** Degrees between two hues round the circle. */
function apart(one: number, other: number): number {
  const d = Math.abs(one - other) % 360;
  return Math.min(d, 360 - d);
}

describe('complements', () => {
  const MIXES = [
    [10, 1],
    [3, 1],
    [1, 1],
    [1, 3],
    [1, 10],
  ] as const;
  const seen = ALL.map((clay) => ({
    clay,
    own: alone(clay),
    // A masstone so deep that a little white raises its chroma hides its colour.
    hides:
      lch([
        [clay, 9],
        [WHITE, 1],
      ])[1] > alone(clay)[1],
  }));
  /**
   * How much stronger the strongest mix of two clays is than the stronger of them, and how many
   * pairs.
   */
  function gains(ok: (clay: (typeof seen)[number]) => boolean) {
    const all: { gain: number; names: string }[] = [];
    const some = seen.filter((s) => s.own[1] >= 5 && ok(s));
    some.forEach((one, i) => {
      for (const other of some.slice(i + 1)) {
        if (apart(one.own[2], other.own[2]) < 150) continue;
        const most = Math.max(
          ...MIXES.map(
            ([n, m]) =>
              lch([
                [one.clay, n],
                [other.clay, m],
              ])[1],
          ),
        );
        const names = `${one.clay.name} + ${other.clay.name}`;
        all.push({ gain: most - Math.max(one.own[1], other.own[1]), names });
      }
    });
    return all;
  }

  // Hues at least 150 degrees apart. Neither a masstone that hides its colour, and both of chroma 25 or
  // more: then the law holds for every pair. For measured paints, paled and mixed, chroma 5 is enough;
  // of weaker drawn clays a few turn their hue by 50 degrees and more with white, and with them it
  // fails, as for Yellow Ochre and a bluish drawn pastel of chroma 17, by 6.
  it.each([
    ['clays of chroma 25', ALL, 25],
    ['paints of chroma 5', [...COLOURS, ...PALED, ...PAIRS], 5],
  ] as const)('give a mix duller than the more chromatic clay, for %s', (_, clays, chroma) => {
    const all = gains(({ clay, own, hides }) => clays.includes(clay) && own[1] >= chroma && !hides);
    expect(all.length).toBeGreaterThan(1000);
    for (const { gain, names } of all) expect(gain, names).toBeLessThanOrEqual(ROUNDING);
  });

  // Without it the law fails: a near-black green and a pale buff give a green far stronger than either,
  // Phthalo Green (Blue Shade) + Titan Buff with 0.8 white, chroma 8 and 7, by 38.
  it('fail with masstones that hide their colour', () => {
    const green = COLOURS.find(({ name }) => name.startsWith('Phthalo Green (Blue Shade)'))!;
    const buff = PALED.find(({ name }) => name.startsWith('Titan Buff (27) with 0.8'))!;
    expect(apart(alone(green)[2], alone(buff)[2])).toBeGreaterThan(150);
    const mixed = lch([
      [green, 1],
      [buff, 1],
    ])[1];
    expect(mixed - Math.max(alone(green)[1], alone(buff)[1])).toBeGreaterThan(30);
  });
});

describe('three yellow to one red', () => {
  const signed = (hue: number) => (hue > 270 ? hue - 360 : hue);
  const isYellow = ([, c, h]: Lch) => c > 40 && h > 70 && h < 110;
  const isRed = ([, c, h]: Lch) => c > 25 && signed(h) > -20 && signed(h) < 50;
  const pairsOf = (clays: readonly Clay[]) => {
    const yellows = clays.filter((clay) => isYellow(alone(clay)));
    const reds = clays.filter((clay) => isRed(alone(clay)));
    return yellows.flatMap((yellow) =>
      reds.map((red) => ({
        yellow,
        red,
        names: `${yellow.name}, ${red.name}`,
        three: lch([
          [yellow, 3],
          [red, 1],
        ]),
        one: lch([
          [yellow, 1],
          [red, 1],
        ]),
      })),
    );
  };

  it('lies between the clays in hue and is lighter than one to one, for measured masstones', () => {
    const pairs = pairsOf(COLOURS);
    expect(pairs.length).toBeGreaterThan(40);
    for (const { yellow, red, names, three, one } of pairs) {
      expect(signed(three[2]), names).toBeGreaterThan(signed(alone(red)[2]));
      expect(signed(three[2]), names).toBeLessThan(alone(yellow)[2]);
      expect(three[0], names).toBeGreaterThan(one[0]);
    }
  });

  // A red turns bluer with white and a yellow greener, and clays hold white: where one of them rules the
  // mix, its hue is that of its tint. So it holds between the bluest hue the red shows with white and
  // the greenest the yellow shows. Naphthol Red Medium (27 degrees) with Diarylide Yellow paled by 0.8
  // white (75) gives 24.
  const tints = (clay: Clay) =>
    [0, 1, 3, 8, 15, 30].map((whites) => {
      const mix: Mix = [
        [clay, 1],
        [WHITE, whites],
      ];
      return signed(lch(mix)[2]);
    });
  it('lies between the hues that the clays show with white, for paints paled and mixed', () => {
    const pairs = pairsOf([...COLOURS, ...PALED, ...PAIRS]);
    expect(pairs.length).toBeGreaterThan(800);
    for (const { yellow, red, names, three } of pairs) {
      const hue = signed(three[2]);
      expect(hue, names).toBeGreaterThan(Math.min(...tints(red)));
      expect(hue, names).toBeLessThan(Math.max(...tints(yellow)));
    }
  });

  // Clays drawn from the prior follow it except for a few whose hue turns unlike any measured
  // paint's: a drawn pastel goes from 73 to 102 degrees with white, and three of it to one Red
  // Oxide (36) give 16. Fewer than 1 in 100 pairs; the test keeps them on record, so that the rule
  // is not taken for exact.
  it('fails for fewer than one in a hundred pairs with drawn clays', () => {
    const pairs = pairsOf(ALL);
    const beyond = pairs.filter(({ yellow, red, three }) => {
      const hue = signed(three[2]);
      return hue <= Math.min(...tints(red)) || hue >= Math.max(...tints(yellow));
    });
    expect(beyond.length).toBeGreaterThan(0);
    expect(beyond.length).toBeLessThan(pairs.length / 100);
  });

  // Where the red is the deeper in every band from 480 to 680 nm, which hold nearly all of lightness. A red with much white in it is not:
  // Quinacridone Red paled by 0.95 white with Diarylide Yellow gives L* 79.0 at 3:1 and 79.6 at 1:1.
  it('is lighter than one to one where the red is the deeper, for clays', () => {
    const pairs = pairsOf(ALL).filter(({ red, yellow }) => isDeeper(red, yellow, 480, 680));
    expect(pairs.length).toBeGreaterThan(100);
    for (const { names, three, one } of pairs) expect(three[0], names).toBeGreaterThan(one[0]);
  });
});

describe('blue and yellow', () => {
  const tint = (clay: Clay) =>
    lch([
      [clay, 1],
      [WHITE, 3],
    ]);
  const blues = COLOURS.filter(
    ({ name }) => /Blue/.test(name) && !name.startsWith('Phthalo Green'),
  );
  const yellows = COLOURS.filter((clay) => {
    const [, c, h] = alone(clay);
    return c > 60 && h > 70 && h < 110;
  });
  /** Mixes from nearly all yellow to nearly all blue. */
  const line = (yellow: Clay, blue: Clay) =>
    Array.from({ length: 121 }, (_, i) =>
      lab([
        [yellow, 1],
        [blue, 10 ** (-3 + i / 20)],
      ]),
    );
  const lines = new Map(
    yellows.map((yellow) => [yellow, new Map(blues.map((blue) => [blue, line(yellow, blue)]))]),
  );
  const greenest = (labs: readonly Lab[]) => Math.min(...labs.map(([, a]) => a));
  /** Chroma where the line, coming from yellow, first reaches a hue of 130 degrees. */
  const chromaOfGreen = (labs: readonly Lab[]) =>
    labs.map(lchFromLab).find(([, , h]) => h >= 130 && h < 190)?.[1] ?? 0;

  // Greenish and reddish are judged by the tint with 3 white, at least 5 degrees apart, and the
  // greenish one must be as chromatic there: then the greens it gives reach further, and at the
  // same hue of 130 degrees they are stronger. At equal parts the stronger blue decides, and no
  // rule holds.
  it('give greener and stronger greens where the blue is greenish and no weaker in chroma', () => {
    let pairs = 0;
    for (const yellow of yellows) {
      for (const greenish of blues) {
        for (const reddish of blues) {
          const [, chromaG, hueG] = tint(greenish);
          const [, chromaR, hueR] = tint(reddish);
          if (hueG > hueR - 5 || chromaG < chromaR) continue;
          pairs++;
          const names = `${yellow.name}: ${greenish.name}, ${reddish.name}`;
          const ofGreenish = lines.get(yellow)!.get(greenish)!;
          const ofReddish = lines.get(yellow)!.get(reddish)!;
          expect(greenest(ofGreenish), names).toBeLessThan(greenest(ofReddish));
          expect(chromaOfGreen(ofGreenish), names).toBeGreaterThan(chromaOfGreen(ofReddish));
        }
      }
    }
    expect(pairs).toBeGreaterThan(40);
  });

  // A greenish blue that is weak fails: Cerulean Blue (chroma 23 with white) against Phthalo Blue Red
  // Shade (42), with Hansa Yellow Opaque.
  it('fails with a greenish blue of little chroma', () => {
    const named = (name: string) => COLOURS.find((clay) => clay.name === name)!;
    const yellow = named('Hansa Yellow Opaque (27)');
    const weak = line(yellow, named('Cerulean Blue (27)'));
    const strong = line(yellow, named('Phthalo Blue Red Shade (19)'));
    expect(chromaOfGreen(weak)).toBeLessThan(chromaOfGreen(strong));
  });
});
