import type { BodyOf } from '../../domain/records/record.ts';
import { USUAL_UNITS } from '../../domain/usual-units.ts';
import { useAll } from './queries.ts';

/** Exact by definition: the international ounce, inch and US fluid ounce. */
const G_PER_OZ = 28.349523125;
const MM_PER_INCH = 25.4;
const ML_PER_FL_OZ = 29.5735295625;

export type Units = BodyOf<'settings'>['units'];

export function useUnits(): Units {
  // A new book has no settings yet.
  return useAll('settings').records[0]?.body.units ?? USUAL_UNITS;
}

/** Grams to a tenth below ten, so that a piece of a gram does not read as none. */
export function massInWords(massG: number, { mass }: Units): string {
  if (mass !== 'g') return `${(massG / G_PER_OZ).toFixed(2)} oz`;
  return `${massG < 9.95 ? Number(massG.toFixed(1)) : Math.round(massG)} g`;
}

export function volumeInWords(ml: number, { volume }: Units): string {
  return volume === 'ml' ? `${Math.round(ml)} ml` : `${(ml / ML_PER_FL_OZ).toFixed(2)} fl oz`;
}

export function tempInWords(tempC: number, { temp }: Units): string {
  return temp === 'C' ? `${Math.round(tempC)} °C` : `${Math.round((tempC * 9) / 5 + 32)} °F`;
}

/** Converts typed amounts in the chosen unit to grams and mm. */
export const gFrom = (value: number, { mass }: Units) => (mass === 'g' ? value : value * G_PER_OZ);
export const mmFrom = (value: number, { length }: Units) =>
  length === 'mm' ? value : value * MM_PER_INCH;
