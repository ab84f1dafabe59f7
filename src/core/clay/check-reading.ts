import { BANDS } from '../colour/grid.ts';
import { invalidInput } from '../errors.ts';
import type { TileReading } from './tile-reading.ts';

/** How far a sum of shares may miss 1: the rounding of many parts, no more. */
const SHARES_SLACK = 1e-6;

/** Refuses shares that do not make a mix. `clay` is an index or a name; `what` names the mix. */
export function checkShares(
  parts: readonly { readonly clay: number | string; readonly share: number }[],
  what: string,
): void {
  const total = parts.reduce((sum, part) => sum + part.share, 0);
  // Written this way so that NaN is refused too.
  if (!(Math.abs(total - 1) <= SHARES_SLACK) || !parts.every(({ share }) => share >= 0)) {
    throw invalidInput(
      `The shares of ${what} sum to ${total}; they must be 0 or more and sum to 1.`,
    );
  }
  if (new Set(parts.map(({ clay }) => clay)).size < parts.length) {
    throw invalidInput(`A clay is named twice in ${what}.`, 'Add its parts together.');
  }
}

/**
 * Refuses: shares that do not make a mix, a colour that is not a number, a spectrum with another
 *          number of bands or with no measured band, spreads below 0 (of a reading also 0), a film
 *          without thickness, a backing outside 0-1 or with another number of bands ->
 *          invalid-input
 */
export function checkReading({
  tile,
  parts,
  colour,
  spread,
  partsSpread,
  photoSpread = 0,
  film,
}: TileReading): void {
  const refuse = (what: string, hint?: string) => invalidInput(`Tile ${tile}: ${what}.`, hint);
  checkShares(parts, `tile ${tile}`);
  if (colour.kind === 'lab') {
    if (!colour.lab.every(Number.isFinite)) throw refuse(`its Lab is ${colour.lab.join(', ')}`);
  } else {
    const { values, observed } = colour;
    if (values.length !== BANDS || observed.length !== BANDS) {
      throw refuse(`its spectrum has ${values.length} bands; the grid has ${BANDS}`);
    }
    if (!observed.includes(1)) throw refuse('no band of its spectrum was measured');
    if (values.some((v, band) => observed[band] === 1 && !Number.isFinite(v))) {
      throw refuse('its spectrum has a band without a number');
    }
  }
  if (!(spread > 0 && Number.isFinite(spread))) {
    throw refuse(`the spread of a reading is a number above 0, not ${spread}`);
  }
  if (![partsSpread, photoSpread].every((v) => v >= 0 && Number.isFinite(v))) {
    throw refuse('the spreads of parts and of a photo are numbers from 0');
  }
  if (film === undefined) return;
  if (!(film.thicknessMm > 0 && Number.isFinite(film.thicknessMm))) {
    throw refuse(`a film is thicker than 0 mm, and this is ${film.thicknessMm}`);
  }
  const backing = typeof film.backing === 'number' ? [film.backing] : [...film.backing];
  if (typeof film.backing !== 'number' && backing.length !== BANDS) {
    throw refuse(
      `its backing has ${backing.length} bands; the grid has ${BANDS}`,
      'Give its reflectance from 380 to 730 nm by 10, or one number.',
    );
  }
  if (!backing.every((r) => r >= 0 && r <= 1)) throw refuse('its backing reflects 0 to 1');
}
