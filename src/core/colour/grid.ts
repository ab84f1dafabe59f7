/**
 * The one wavelength grid of the program: 380 to 730 nm by 10 nm, 36 bands. Every spectrum inside
 * `core` is a `Float64Array` of `BANDS` values on it.
 */
export const GRID_START_NM = 380;
export const GRID_STEP_NM = 10;
export const BANDS = 36;

/** Centre wavelength of each band, nm. */
export const GRID_NM: readonly number[] = Array.from(
  { length: BANDS },
  (_, band) => GRID_START_NM + band * GRID_STEP_NM,
);
