/** Absorption of invented clays by wavelength. */
export type Curve = (nm: number) => number;

export const bump =
  (at: number, width: number, height: number): Curve =>
  (nm) =>
    height * Math.exp(-0.5 * ((nm - at) / width) ** 2);

/** Absorbs below the edge and lets pass above it: reds, oranges, yellows. */
export const edge =
  (at: number, width: number, height: number): Curve =>
  (nm) =>
    height / (1 + Math.exp((nm - at) / width));
