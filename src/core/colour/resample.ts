import { AppError } from '../errors.ts';
import { fitBands } from './fit-bands.ts';
import { GRID_NM, GRID_STEP_NM } from './grid.ts';
import { notAKnotSpline, spragueQuintic, type TableReader } from './interpolate.ts';

/** Fewer points than this leave the visible range with holes. */
const LEAST_POINTS = 10;
/** CIE 167:2005 advises against interpolating anything coarser. */
const COARSEST_STEP_NM = 20;
/** A calibrated zero may read below 0, and a white with brightener well above 1. */
const REFLECTANCE = { least: -0.05, most: 1.5 };
/** Down to this step, data are read at every nm before the fit; finer data are fitted as they are. */
const FINE_STEP_NM = 2.5;
const NM_SLACK = 1e-6;

export interface GridSpectrum {
  /** 36 bands; 0 where not observed. */
  readonly values: Float64Array;
  /** 1 where the instrument measured, 0 where the grid goes beyond it. */
  readonly observed: Uint8Array;
}

/**
 * A measured spectrum on the program's own grid.
 * Shape:   n wavelengths, n values -> 36 values, 36 flags
 * Units:   nm, strictly rising; reflectance 0-1
 * Refuses: under 10 points; unsorted or doubled wavelengths; steps over 20 nm; a reflectance
 *          outside -0.05 to 1.5 or not a number; nothing inside 380-730 nm -> bad-spectrum (bad-input)
 * Method:  steps of 10 nm and more are interpolated: equal ones by the quintic of Sprague, unequal ones
 *          by a cubic spline (CIE 167:2005). Finer data are fitted by `fitBands`, from 1 nm values
 *          interpolated in the same way where the step is above 2.5 nm. That keeps the colour (24 chart
 *          spectra at 5 nm, D50, D65, A: within 0.01 dE00 of the sum over all values) and averages noise.
 * Holds:   values at grid wavelengths of data by 10 or 20 nm pass unchanged; bands beyond the data are
 *          never filled
 * Source:  [CIE167]; oracle test/oracles/colour/spectra-ohta1997.csv
 */
export function ontoGrid(
  wavelengthsNm: readonly number[],
  values: readonly number[],
): GridSpectrum {
  const steps = checkedSteps(wavelengthsNm, values);
  const first = wavelengthsNm[0];
  const last = wavelengthsNm[wavelengthsNm.length - 1];
  const observed = Uint8Array.from(GRID_NM, (nm) =>
    nm < first - NM_SLACK || nm > last + NM_SLACK ? 0 : 1,
  );
  const from = observed.indexOf(1);
  if (from < 0) {
    throw badSpectrum(
      `The spectrum runs from ${first} to ${last} nm; colour needs 380-730 nm.`,
      'Check that the wavelengths are in nanometres.',
    );
  }
  const to = observed.lastIndexOf(1);
  if (steps.most <= FINE_STEP_NM) {
    return { values: fitBands(wavelengthsNm, values, from, to), observed };
  }
  const at = interpolator(wavelengthsNm, values, steps);
  if (steps.most < GRID_STEP_NM - NM_SLACK) {
    const every = Array.from(
      { length: GRID_NM[to] - GRID_NM[from] + 1 },
      (_, i) => GRID_NM[from] + i,
    );
    return { values: fitBands(every, every.map(at), from, to), observed };
  }
  return {
    values: Float64Array.from(observed, (flag, i) => (flag === 1 ? at(GRID_NM[i]) : 0)),
    observed,
  };
}

function interpolator(
  nm: readonly number[],
  values: readonly number[],
  steps: { readonly least: number; readonly most: number },
): TableReader {
  // Instruments print wavelengths rounded, so steps are equal within a little.
  if (steps.most - steps.least < 1e-3) return spragueQuintic(nm, values);
  return notAKnotSpline(nm, values);
}

function checkedSteps(
  nm: readonly number[],
  values: readonly number[],
): { least: number; most: number } {
  if (nm.length !== values.length) {
    throw badSpectrum(
      `${nm.length} wavelengths were given with ${values.length} values.`,
      'Give one reflectance for every wavelength.',
    );
  }
  if (nm.length < LEAST_POINTS) {
    throw badSpectrum(
      `The spectrum has ${nm.length} points; at least ${LEAST_POINTS} are needed.`,
      'Export the whole spectrum, or give the colour as Lab.',
    );
  }
  let least = Number.POSITIVE_INFINITY;
  let most = 0;
  for (let i = 0; i < nm.length; i++) {
    if (!Number.isFinite(nm[i])) {
      throw badSpectrum(`Wavelength ${i + 1} is not a number.`, 'Check the heading of its column.');
    }
    if (!(values[i] >= REFLECTANCE.least && values[i] <= REFLECTANCE.most)) {
      throw badSpectrum(
        `The reflectance at ${nm[i]} nm is ${values[i]}; it must be between 0 and 1.`,
        values[i] > REFLECTANCE.most
          ? 'Is it in per cent? Divide by 100.'
          : 'Check that value, or measure again.',
      );
    }
    if (i === 0) continue;
    const step = nm[i] - nm[i - 1];
    if (step <= 0) {
      throw badSpectrum(
        `${nm[i]} nm comes after ${nm[i - 1]} nm.`,
        'Sort the spectrum by wavelength and keep each wavelength once.',
      );
    }
    least = Math.min(least, step);
    most = Math.max(most, step);
  }
  if (most > COARSEST_STEP_NM + NM_SLACK) {
    throw badSpectrum(
      `The spectrum has a step of ${most} nm; more than ${COARSEST_STEP_NM} nm leaves too much to guess.`,
      'Export it in steps of 10 nm, or give the colour as Lab.',
    );
  }
  return { least, most };
}

function badSpectrum(detail: string, hint: string): AppError {
  return new AppError({ code: 'bad-spectrum', kind: 'bad-input', detail, hint });
}
