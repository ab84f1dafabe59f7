import { deltaE2000 } from '../colour/difference.ts';
import { labFromXyz } from '../colour/spaces.ts';
import { type Lab, triple } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import type { SeenPatch } from './camera-equations.ts';
import { xyzOfCode } from './camera-model.ts';
import type { PatchMark } from './chart-patches.ts';
import { type CameraFit, fitCamera } from './fit-camera.ts';

/**
 * A first fit that no single patch can pull: linear terms, a tone curve, and small spreads for the
 * rest.
 */
export function firstFit(patches: readonly SeenPatch[], slopeSpread: number): CameraFit {
  return fitCamera(
    patches,
    colourWeights('D50', 2).white,
    { terms: 'linear', rootSpread: 1, toneSpread: 0.3, blackSpread: 0.003, slopeSpread },
    { robust: true, rounds: 25 },
  );
}

/** Median residual of all patches, dE00. */
export function medianResidual(fit: CameraFit): number {
  const sizes = residualSizes(fit).sort((a, b) => a - b);
  return sizes[sizes.length >> 1];
}

/** A patch this many times as far off as the median does not agree with the others. */
const FACTOR = 4.5;
const LEAST_DE = 6;
/** With more patches than this set aside, the chart itself is in doubt. */
export const MOST_ASIDE = 8;

/**
 * Why a patch does not agree with the others, found by how its light would have to change.
 * Shape:   patches, their robust fit -> a mark for each that is off, undefined for the others
 */
export function disagreeing(
  patches: readonly SeenPatch[],
  fit: CameraFit,
): (PatchMark | undefined)[] {
  const sizes = residualSizes(fit);
  const limit = Math.max(LEAST_DE, FACTOR * medianResidual(fit));
  return patches.map((patch, i) => {
    if (sizes[i] < limit) return undefined;
    // How far off the patch is with more or less light.
    const off = (factor: number) => deltaE2000(labWith(fit, patch, factor), patch.lab);
    const lighter = Math.min(...[1.15, 1.3, 1.6, 2, 3, 4.5].map(off));
    const darker = Math.min(...[0.9, 0.75, 0.6, 0.45].map(off));
    const now = off(1);
    if (lighter < 0.6 * now) return 'shaded';
    if (darker < 0.6 * now) return 'glossy';
    return 'unlike the others';
  });
}

function labWith(fit: CameraFit, patch: SeenPatch, factor: number): Lab {
  const xyz = new Float64Array(3);
  const light = triple((c) => patch.light[c] / factor);
  xyzOfCode(xyz, fit.numbers, fit.settings.terms, { ...patch, light });
  return labFromXyz([xyz[0], xyz[1], xyz[2]], fit.white);
}

function residualSizes({ residuals }: CameraFit): number[] {
  return Array.from({ length: residuals.length / 3 }, (_, i) =>
    Math.hypot(residuals[3 * i], residuals[3 * i + 1], residuals[3 * i + 2]),
  );
}
