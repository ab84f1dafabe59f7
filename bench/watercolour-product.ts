import { fitClays } from '../src/core/clay/fit.ts';
import { FIT_SETTINGS } from '../src/core/clay/fit-settings.ts';
import { mixSlopes } from '../src/core/clay/mixture.ts';
import { shippedPrior } from '../src/core/clay/shipped-prior.ts';
import type { TileReading } from '../src/core/clay/tile-reading.ts';
import { BANDS } from '../src/core/colour/grid.ts';
import { claySurface } from '../src/core/optics/surface.ts';
import type { Layer, Watercolours } from './watercolour-data.ts';
import { backingOf, PLAIN } from './watercolour-film.ts';
import type { Predict } from './watercolour-rivals.ts';

/**
 * Thickness of 1 ml; the fit learns scattering per mm, so that only its start depends on this
 * number.
 */
const MM_PER_ML = 40;
/** Each paint is a group of its own here, and its scattering is free against the others. */
const SETTINGS = { ...FIT_SETTINGS, groupSpread: 2 };

/**
 * The product's own fit, trained on the layers of one paint as film tiles on the paper's spectrum:
 * its shipped prior, its surface, reflectance alone.
 */
export function productFit(
  { primaries, paper }: Watercolours,
  geometry: 'included' | 'excluded',
): { predict: Predict; converged: boolean } {
  const surface = claySurface(geometry);
  const backing = backingOf({ ...PLAIN, surface }, paper);
  const readings = primaries.map(
    ({ parts, totalMl, reflectance }): TileReading => ({
      tile: `${parts[0].paint} ${totalMl} ml`,
      parts: [{ clay: parts[0].paint, share: 1 }],
      colour: { kind: 'spectrum', values: reflectance, observed: new Uint8Array(BANDS).fill(1) },
      spread: 1,
      geometry,
      partsSpread: 0,
      film: { thicknessMm: totalMl * MM_PER_ML, backing },
    }),
  );
  const fit = fitClays(readings, shippedPrior(), SETTINGS);
  return {
    converged: fit.converged,
    predict: ({ parts, totalMl }: Pick<Layer, 'parts' | 'totalMl'>) =>
      mixSlopes(
        parts.map(({ paint, volumeMl }) => ({
          clay: fit.set.clays.indexOf(paint),
          share: volumeMl / totalMl,
        })),
        fit.coefficients,
        fit.set.classes,
        fit.physics,
        surface,
        { thicknessMm: totalMl * MM_PER_ML, backing },
      ).reflectance,
  };
}
