import type { Lab } from '../../core/colour/triples.ts';

/** Decimals of a colour in a row: a screen shows less than a tenth of it. */
const DECIMALS = 1000;

export function roundedLab(lab: Lab): Lab {
  const [l, a, b] = lab.map((value) => Math.round(value * DECIMALS) / DECIMALS);
  return [l, a, b];
}
