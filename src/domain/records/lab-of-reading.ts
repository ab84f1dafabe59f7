import { labUnder } from '../../core/colour/adaptation.ts';
import { ontoGrid } from '../../core/colour/resample.ts';
import { labFromSpectrum } from '../../core/colour/spaces.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { colourWeightsObserved } from '../../core/colour/weights.ts';
import { AppError } from '../../core/errors.ts';
import type { Reading } from './reading.ts';

/** The colour of a reading: the user's override first, then the spectrum, then the Lab; D50, 2 degrees. */
export function labOfReading(
  body: Pick<Reading, 'spectrum' | 'lab'> & { readonly override?: { readonly lab?: Lab } },
): Lab | undefined {
  if (body.override?.lab !== undefined) return body.override.lab;
  if (body.spectrum !== undefined) {
    try {
      const grid = ontoGrid(body.spectrum.wavelengthsNm, body.spectrum.reflectance);
      return labFromSpectrum(grid.values, colourWeightsObserved('D50', 2, grid.observed));
    } catch (fault) {
      // A spectrum too short for a colour is kept, and found by the rest of what it says.
      if (!(fault instanceof AppError)) throw fault;
    }
  }
  if (body.lab === undefined) return undefined;
  const { values, light, observer } = body.lab;
  return labUnder(values, { light, observer }, { light: 'D50', observer: 2 });
}
