import type { BodyOf } from './records/record.ts';

/** Units of a book whose settings were never changed. */
export const USUAL_UNITS: BodyOf<'settings'>['units'] = {
  length: 'mm',
  mass: 'g',
  temp: 'C',
  volume: 'ml',
};
