/**
 * Measured colour pastes: from tints and white to mixtures never seen.
 *
 * 1. Tints and white learned; mixtures of quality `ok` predicted, from spectra, and from Lab alone
 * with 0.5 units of seeded noise per axis; paired against the plain two-constant fit. 2. With the
 * mixtures of the other four folds learned too; new folds for every seed. 3. The worst five, and
 * the amounts that would explain them.
 *
 * All settings are the product's own (FIT_SETTINGS); spread 0.2 for spectra and 0.5 for Lab, parts
 * 3 % for tints and mixtures alike, as the reader of readings assumes when a file says nothing.
 *
 * Run:     npx tsx bench/pastes.ts [--seeds 5]
 */
import { parseArgs } from 'node:util';
import { Matrix, solve } from 'ml-matrix';
import { modelFromFit } from '../src/core/clay/clay-model.ts';
import { fitClays } from '../src/core/clay/fit.ts';
import type { Fit } from '../src/core/clay/fit-result.ts';
import { mixSlopes } from '../src/core/clay/mixture.ts';
import { openModel, predictMix } from '../src/core/clay/predict.ts';
import { shippedPrior } from '../src/core/clay/shipped-prior.ts';
import type { TileReading } from '../src/core/clay/tile-reading.ts';
import { deltaE2000 } from '../src/core/colour/difference.ts';
import { labFromSpectrum } from '../src/core/colour/spaces.ts';
import type { Lab } from '../src/core/colour/triples.ts';
import { colourWeights, colourWeightsObserved } from '../src/core/colour/weights.ts';
import { claySurface } from '../src/core/optics/surface.ts';
import { type PasteCard, readMixtures, readTints, sharesOf } from './pastes-data.ts';
import { fitPlain, predictPlain } from './plain-two-constant.ts';
import { bootstrap, mean, quantile, type Random, randomFrom } from './random.ts';

export type Source = 'spectra' | 'lab';

const LAB_NOISE = 0.5;

/** What a file of these readings says of the gloss: they hold it. */
export type Stated = TileReading['geometry'];

export function readingOf(
  card: PasteCard,
  source: Source,
  random: Random,
  stated: Stated = 'included',
): TileReading {
  const noisy = (v: number) => v + LAB_NOISE * random.normal();
  return {
    tile: card.name,
    parts: sharesOf(card),
    colour:
      source === 'spectra'
        ? { kind: 'spectrum', values: card.values, observed: card.observed }
        : {
            kind: 'lab',
            lab: [noisy(card.lab[0]), noisy(card.lab[1]), noisy(card.lab[2])],
            light: 'D50',
            observer: 2,
          },
    spread: source === 'spectra' ? 0.2 : LAB_NOISE,
    geometry: stated,
    // As the program takes the measured rows of one file.
    ...(source === 'lab' ? { photo: 'measured in one file', photoSpread: 0.4 } : {}),
    partsSpread: card.grams.size === 0 ? 0 : 0.03,
  };
}

export function learn(
  cards: readonly PasteCard[],
  source: Source,
  random: Random,
  stated: Stated = 'included',
): Fit {
  return fitClays(
    cards.map((card) => readingOf(card, source, random, stated)),
    shippedPrior(),
  );
}

interface Prediction {
  readonly card: PasteCard;
  readonly lab: Lab;
  readonly dE00: number;
  readonly covariance: Float64Array;
}

export function predict(fit: Fit, cards: readonly PasteCard[]): Prediction[] {
  const predictor = openModel(modelFromFit(fit));
  return cards.map((card) => {
    const parts = sharesOf(card).map(({ clay, share }) => ({
      clay: fit.set.clays.indexOf(clay),
      share,
    }));
    const { spectrum, covariance } = predictMix(predictor, parts, {
      weights: colourWeights('D50', 2),
      geometry: 'included',
      partsSpread: 0.03,
    });
    // Unmeasured bands are removed from both spectra, so that the two can be compared.
    const lab = labFromSpectrum(spectrum, colourWeightsObserved('D50', 2, card.observed));
    return { card, lab, dE00: deltaE2000(lab, card.lab), covariance };
  });
}

export function plainErrors(tints: readonly PasteCard[], cards: readonly PasteCard[]): number[] {
  const plain = fitPlain(tints);
  return cards.map((card) =>
    deltaE2000(
      labFromSpectrum(predictPlain(plain, card), colourWeightsObserved('D50', 2, card.observed)),
      card.lab,
    ),
  );
}

export function readPastes(): { tints: PasteCard[]; mixtures: PasteCard[] } {
  return { tints: readTints(), mixtures: readMixtures().filter((card) => card.quality === 'ok') };
}

function main(): void {
  const { values } = parseArgs({ options: { seeds: { type: 'string', default: '5' } } });
  const seeds = Array.from({ length: Number(values.seeds) }, (_, i) => i + 1);
  const { tints, mixtures } = readPastes();
  const chance = randomFrom(2026);
  const line = (name: string, errors: readonly number[]) => {
    const [low, high] = bootstrap(errors, mean, chance);
    const cells = [mean(errors), quantile(errors, 0.5), quantile(errors, 0.9), Math.max(...errors)];
    console.log(
      `${name.padEnd(46)} ${cells.map((v) => v.toFixed(2).padStart(6)).join(' ')}   ${low.toFixed(2)}-${high.toFixed(2)}`,
    );
  };
  console.log(`${mixtures.length} mixtures of quality ok; CIEDE2000, D50, 2 degree`);
  console.log(`${' '.repeat(46)}   mean median   90 %  worst   mean, 5-95 % of bootstrap`);
  const plain = plainErrors(tints, mixtures);
  line('plain two-constant fit, spectra', plain);
  const fromSpectra = predict(learn(tints, 'spectra', randomFrom(1)), mixtures);
  line(
    'tints learned, spectra',
    fromSpectra.map((f) => f.dE00),
  );
  const fromLab = seeds.map((seed) => predict(learn(tints, 'lab', randomFrom(seed)), mixtures));
  const labErrors = mixtures.map((_, i) => mean(fromLab.map((run) => run[i].dE00)));
  line(`tints learned, Lab with noise, ${seeds.length} seeds`, labErrors);
  for (const stated of ['unstated', 'excluded'] as const) {
    const runs = seeds.map((seed) => {
      const fit = learn(tints, 'lab', randomFrom(seed), stated);
      return { fit, found: predict(fit, mixtures) };
    });
    line(
      `  gloss ${stated === 'excluded' ? 'stated wrong' : 'not stated'}, ${seeds.length} seeds`,
      mixtures.map((_, i) => mean(runs.map(({ found }) => found[i].dE00))),
    );
    const right = runs.filter(({ fit }) => fit.glossSnapped === 'included').length;
    if (stated === 'unstated')
      console.log(`  gloss worked out rightly in ${right} of ${runs.length}`);
  }
  const paired = (name: string, errors: readonly number[]) => {
    const rows = mixtures.map((_, i) => ({ ours: errors[i], plain: plain[i] }));
    const ratio = (sample: readonly (typeof rows)[number][]) =>
      mean(sample.map((r) => r.ours)) / mean(sample.map((r) => r.plain));
    const [low, high] = bootstrap(rows, ratio, chance);
    const better = rows.filter((r) => r.ours < r.plain).length;
    console.log(
      `${name}: ${ratio(rows).toFixed(3)} of plain (${low.toFixed(2)}-${high.toFixed(2)}), better on ${better} of ${rows.length}`,
    );
  };
  paired(
    '  spectra, paired',
    fromSpectra.map((f) => f.dE00),
  );
  paired('  Lab, paired', labErrors);

  for (const source of ['spectra', 'lab'] as const) {
    const sums = mixtures.map(() => [] as number[]);
    for (const seed of seeds) {
      const random = randomFrom(seed);
      const fold = shuffledFolds(mixtures.length, 5, random);
      for (let f = 0; f < 5; f++) {
        const train = mixtures.filter((_, i) => fold[i] !== f);
        const test = mixtures.flatMap((card, i) => (fold[i] === f ? [{ card, i }] : []));
        const fit = learn([...tints, ...train], source, random);
        predict(
          fit,
          test.map(({ card }) => card),
        ).forEach(({ dE00 }, k) => {
          sums[test[k].i].push(dE00);
        });
      }
    }
    line(
      `other folds learned too, ${source}, ${seeds.length} seeds`,
      sums.map((v) => mean(v)),
    );
  }

  console.log(
    '\nThe worst five from spectra: read minus predicted (L, a, b), grams per 50 g of white',
  );
  const worst = [...fromSpectra].sort((a, b) => b.dE00 - a.dE00).slice(0, 5);
  for (const { card, lab, dE00 } of worst) {
    const off = card.lab.map((v, i) => (v - lab[i]).toFixed(1)).join(' ');
    const grams = [...card.grams].map(([name, g]) => `${g} ${name}`).join(' + ');
    console.log(`  ${card.name} ${dE00.toFixed(2)}: ${off}; ${grams}`);
  }
  const learned = learn(tints, 'spectra', randomFrom(1));
  console.log(
    `exponent of dilution learned from the tints: ${learned.physics.dilution.toFixed(3)}`,
  );
  strengths(learned, mixtures);
}

/**
 * Why mixtures come out darker: how much of each paste would explain the mixture's own spectrum,
 * compared with the grams noted, with clays as learned from the tints alone.
 */
function strengths(fit: Fit, mixtures: readonly PasteCard[]): void {
  const factors = new Map<string, number[]>();
  for (const card of mixtures) {
    for (const [name, factor] of explainingAmounts(fit, card)) {
      factors.set(name, [...(factors.get(name) ?? []), factor]);
    }
  }
  console.log(
    '\nAmount that explains the mixtures, as a factor on the grams noted (median; each mixture):',
  );
  for (const [name, values] of [...factors].sort()) {
    const each = values.map((v) => v.toFixed(2)).join(' ');
    console.log(`  ${name} ${quantile(values, 0.5).toFixed(2)}   ${each}`);
  }
}

/** Gauss-Newton on the logarithms of the amounts, relative residual of the spectrum. */
function explainingAmounts(fit: Fit, card: PasteCard): Map<string, number> {
  const names = [...card.grams.keys()];
  const log = names.map(() => 0);
  for (let round = 0; round < 30; round++) {
    const scaled = {
      ...card,
      grams: new Map(names.map((n, i) => [n, card.grams.get(n)! * Math.exp(log[i])])),
    };
    const parts = sharesOf(scaled).map(({ clay, share }) => ({
      clay: fit.set.clays.indexOf(clay),
      share,
    }));
    const mix = mixSlopes(
      parts,
      fit.coefficients,
      fit.set.classes,
      fit.physics,
      claySurface('included'),
    );
    const normal = Matrix.zeros(names.length, names.length);
    const right = Matrix.zeros(names.length, 1);
    for (let band = 0; band < card.observed.length; band++) {
      if (card.observed[band] === 0) continue;
      const residual = Math.log(card.values[band] / mix.reflectance[band]);
      names.forEach((_, i) => {
        const slope = mix.lnAmount[i + 1][band] / mix.reflectance[band];
        right.set(i, 0, right.get(i, 0) + slope * residual);
        names.forEach((__, j) => {
          normal.set(
            i,
            j,
            normal.get(i, j) + (slope * mix.lnAmount[j + 1][band]) / mix.reflectance[band],
          );
        });
      });
    }
    names.forEach((_, i) => {
      normal.set(i, i, normal.get(i, i) * 1.001);
    });
    const step = solve(normal, right);
    names.forEach((_, i) => {
      log[i] += Math.max(-0.5, Math.min(0.5, step.get(i, 0)));
    });
  }
  return new Map(names.map((n, i) => [n, Math.exp(log[i])]));
}

function shuffledFolds(count: number, folds: number, random: Random): number[] {
  const fold = Array.from({ length: count }, (_, i) => i % folds);
  for (let i = count - 1; i > 0; i--) {
    const j = random.whole(0, i);
    [fold[i], fold[j]] = [fold[j], fold[i]];
  }
  return fold;
}

if (process.argv[1]?.endsWith('pastes.ts')) main();
