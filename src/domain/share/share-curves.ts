import { CLAY_CLASSES, type ClayClass } from '../../core/clay/clay-class.ts';
import type { LatentBasis, Prior } from '../../core/clay/prior.ts';
import { AppError } from '../../core/errors.ts';
import { itemAt } from '../../core/numeric/pairs.ts';
import type { SharedClays } from '../../core/share/shared-clays.ts';
import type { ShareCurves } from './share-file.ts';
import { SHARE_STEPS } from './share-steps.ts';

/**
 * Shared clays as whole numbers.
 * Shape:   `places`: where each clay is among those of the file
 * Holds:   `claysOfCurves` gives nearly the same clays back: colours to 0.012 dE00 (bench/share.ts)
 */
export function curvesOfClays(shared: SharedClays, places: readonly number[]): ShareCurves {
  const { prior, physics, physicsSpread, combinationSpread, missFactor, gloss } = shared;
  const classes = new Set(shared.clays.map(({ clayClass }) => clayClass));
  return {
    gloss,
    absorption: basisOf(prior.absorption),
    scattering: basisOf(prior.scattering),
    means: Object.fromEntries(
      [...classes].sort().map((clayClass) => {
        const { lnAbsorption, lnScattering, strengthSpread } = prior.means[clayClass];
        return [
          clayClass,
          {
            lnAbsorption: wholes(lnAbsorption, SHARE_STEPS.shape),
            lnScattering: wholes(lnScattering, SHARE_STEPS.shape),
            strengthSpread: rounded(strengthSpread),
          },
        ];
      }),
    ),
    clays: shared.clays.map(({ clayClass, pinned, latent, modes, effect }, i) => ({
      clay: itemAt(places, i),
      clayClass,
      ...(pinned ? { pinned } : {}),
      weights: wholes(latent, SHARE_STEPS.weight),
      modes: modes.map((mode) => coarse(wholes(mode, SHARE_STEPS.mode), MODE_GRAIN)),
      ...(effect === undefined
        ? {}
        : {
            effect: {
              effect: effect.effect,
              departure: three(effect.departure),
              spread: three(effect.spread),
            },
          }),
    })),
    physics: {
      dilution: rounded(physics.dilution),
      shareExponent: rounded(physics.shareExponent),
      scatteringPerMm: rounded(physics.scatteringPerMm),
      spread: [...physicsSpread].map(rounded),
    },
    combinationSpread: rounded(combinationSpread),
    missFactor: rounded(missFactor),
    combinations: shared.combinations.map(({ clays, departures, spread }) => ({
      clays: [...clays],
      departures: wholes(departures, SHARE_STEPS.departure),
      spread: wholes(spread, SHARE_STEPS.departure),
    })),
    ...(shared.correlation === undefined ? {} : { correlation: inBytes(shared.correlation) }),
  };
}

/**
 * Clays out of a file, ready to be made a model of.
 * Refuses: a correlation of another size than its unknowns -> share-file-unfit (bad-input)
 */
export function claysOfCurves(curves: ShareCurves, names: readonly string[]): SharedClays {
  const clays = curves.clays.map(({ clay, clayClass, pinned = false, weights, modes, effect }) => ({
    name: itemAt(names, clay),
    clayClass,
    pinned,
    latent: numbers(weights, SHARE_STEPS.weight),
    modes: modes.map((mode) => numbers(mode, SHARE_STEPS.mode)),
    ...(effect === undefined
      ? {}
      : {
          effect: {
            effect: effect.effect,
            departure: Float64Array.from(effect.departure),
            spread: Float64Array.from(effect.spread),
          },
        }),
  }));
  const { spread, ...physics } = curves.physics;
  const combinations = curves.combinations.map((one) => ({
    clays: one.clays,
    departures: numbers(one.departures, SHARE_STEPS.departure),
    spread: numbers(one.spread, SHARE_STEPS.departure),
  }));
  const unknowns =
    clays.reduce((sum, { modes, effect }) => sum + modes.length + (effect ? 3 : 0), 0) +
    spread.length +
    combinations.reduce((sum, one) => sum + one.spread.length, 0);
  return {
    prior: priorOf(curves),
    clays,
    physics,
    physicsSpread: Float64Array.from(spread),
    combinations,
    combinationSpread: curves.combinationSpread,
    missFactor: curves.missFactor,
    gloss: curves.gloss,
    ...(curves.correlation === undefined
      ? {}
      : { correlation: fromBytes(curves.correlation, unknowns) }),
  };
}

function priorOf({ absorption, scattering, means }: ShareCurves): Prior {
  const known = Object.values(means)[0]!;
  const meanOf = (clayClass: ClayClass) => {
    const { lnAbsorption, lnScattering, strengthSpread } = means[clayClass] ?? known;
    return {
      lnAbsorption: numbers(lnAbsorption, SHARE_STEPS.shape),
      lnScattering: numbers(lnScattering, SHARE_STEPS.shape),
      strengthSpread,
    };
  };
  return {
    absorption: latentBasis(absorption),
    scattering: latentBasis(scattering),
    means: Object.fromEntries(
      CLAY_CLASSES.map((clayClass) => [clayClass, meanOf(clayClass)]),
    ) as Prior['means'],
  };
}

function basisOf({ shapes, residual }: LatentBasis) {
  return {
    shapes: shapes.map((shape) => wholes(shape, SHARE_STEPS.shape)),
    residual: wholes(residual, SHARE_STEPS.shape),
  };
}

function latentBasis({ shapes, residual }: ShareCurves['absorption']): LatentBasis {
  return {
    shapes: shapes.map((shape) => numbers(shape, SHARE_STEPS.shape)),
    residual: numbers(residual, SHARE_STEPS.shape).map((v) => Math.max(0, v)),
  };
}

function wholes(values: ArrayLike<number>, step: number): number[] {
  // Adding 0 turns -0, which JSON does not know, into 0.
  return Array.from(values, (v) => Math.round(v / step) + 0);
}

function numbers(values: readonly number[], step: number): Float64Array {
  return Float64Array.from(values, (v) => v * step);
}

function rounded(value: number): number {
  return Number(value.toPrecision(6));
}

function three([x = 0, y = 0, z = 0]: Float64Array): [number, number, number] {
  return [rounded(x), rounded(y), rounded(z)];
}

/**
 * Weaker ties are left out, and the others rounded: of 50 clays, ties take 5 kB instead of 25, and just as
 * many ± are within 15 % of the author's own (bench/share.ts).
 */
const LEAST_TIE = 0.13;
/** Steps that ties and modes are rounded to: fewer different numbers pack better. */
const TIE_GRAIN = 5;
const MODE_GRAIN = 3;

function coarse(steps: readonly number[], grain: number): number[] {
  return steps.map((v) => grain * Math.round(v / grain) + 0);
}

function inBytes(correlation: Float64Array): string {
  const count = Math.round(Math.sqrt(correlation.length));
  const bytes = new Uint8Array((count * (count - 1)) / 2);
  let at = 0;
  for (let i = 0; i < count; i++) {
    for (let j = 0; j < i; j++) {
      const value = correlation[i * count + j] ?? 0;
      bytes[at++] =
        Math.abs(value) < LEAST_TIE
          ? 0
          : (TIE_GRAIN * Math.round(value / SHARE_STEPS.correlation / TIE_GRAIN)) & 0xff;
    }
  }
  return btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(''));
}

function fromBytes(text: string, count: number): Float64Array {
  let letters = '';
  try {
    letters = atob(text);
  } catch {
    throw unfit();
  }
  if (letters.length !== (count * (count - 1)) / 2) throw unfit();
  const out = new Float64Array(count * count);
  let at = 0;
  for (let i = 0; i < count; i++) {
    out[i * (count + 1)] = 1;
    for (let j = 0; j < i; j++) {
      const byte = letters.charCodeAt(at++);
      const value = Math.max(
        -1,
        Math.min(1, (byte > 127 ? byte - 256 : byte) * SHARE_STEPS.correlation),
      );
      out[i * count + j] = value;
      out[j * count + i] = value;
    }
  }
  return out;
}

function unfit(): AppError {
  return new AppError({
    code: 'share-file-unfit',
    kind: 'bad-input',
    detail: 'What the share file says of its clays does not fit together.',
    hint: 'Nothing was taken. Ask the author for the file again.',
  });
}
