/**
 * The plain rival: two-constant Kubelka-Munk from a textbook. K and S of every paste from its own
 * tints alone, band by band, by non-negative least squares on relative residuals, S of white = 1,
 * Saunderson k1 = 0.04, k2 = 0.6; K and S add in proportion.
 */
import { BANDS } from '../src/core/colour/grid.ts';
import { ratioFromReflectance, reflectanceFromRatio } from '../src/core/optics/kubelka-munk.ts';
import {
  claySurface,
  internalFromMeasured,
  measuredFromInternal,
} from '../src/core/optics/surface.ts';
import type { PasteCard } from './pastes-data.ts';

const surface = claySurface('included');

export interface PlainModel {
  readonly white: Float64Array;
  readonly pastes: ReadonlyMap<string, { absorption: Float64Array; scattering: Float64Array }>;
}

export function fitPlain(tints: readonly PasteCard[]): PlainModel {
  const ratio = (card: PasteCard) =>
    card.values.map((v) => ratioFromReflectance(internalFromMeasured(v, surface)));
  const whiteCard = tints.find((card) => card.grams.size === 0);
  if (whiteCard === undefined) throw new Error('the plain fit needs the white base alone');
  const white = ratio(whiteCard);
  const names = new Set(tints.flatMap((card) => [...card.grams.keys()]));
  const pastes = new Map<string, { absorption: Float64Array; scattering: Float64Array }>();
  for (const name of names) {
    const own = tints.filter((card) => card.grams.size === 1 && card.grams.has(name));
    const absorption = new Float64Array(BANDS);
    const scattering = new Float64Array(BANDS);
    for (let band = 0; band < BANDS; band++) {
      if (whiteCard.observed[band] === 0) continue;
      // white + g K = q (1 + g S), each row divided by its q
      const rows = own.map((card) => {
        const q = ratio(card)[band];
        const g = card.grams.get(name)!;
        return { k: g / q, s: -g, y: (q - white[band]) / q };
      });
      [absorption[band], scattering[band]] = twoNonNegative(rows);
    }
    pastes.set(name, { absorption, scattering });
  }
  return { white, pastes };
}

/** Reflectance of a card's recipe as an instrument reads it; bands not observed stay 0. */
export function predictPlain(model: PlainModel, card: PasteCard): Float64Array {
  const out = new Float64Array(BANDS);
  for (let band = 0; band < BANDS; band++) {
    if (card.observed[band] === 0) continue;
    let k = model.white[band];
    let s = 1;
    for (const [name, grams] of card.grams) {
      const paste = model.pastes.get(name);
      if (paste === undefined) throw new Error(`no tint of ${name}`);
      k += grams * paste.absorption[band];
      s += grams * paste.scattering[band];
    }
    out[band] = measuredFromInternal(reflectanceFromRatio(k / s), surface);
  }
  return out;
}

/** Least squares of y = k K + s S with K, S >= 0: the free answer, or the better of the two edges. */
function twoNonNegative(rows: readonly { k: number; s: number; y: number }[]): [number, number] {
  let [kk, ks, ss, ky, sy] = [0, 0, 0, 0, 0];
  for (const { k, s, y } of rows) {
    kk += k * k;
    ks += k * s;
    ss += s * s;
    ky += k * y;
    sy += s * y;
  }
  const determinant = kk * ss - ks * ks;
  const free: [number, number] = [
    (ky * ss - sy * ks) / determinant,
    (sy * kk - ky * ks) / determinant,
  ];
  if (determinant > 0 && free[0] >= 0 && free[1] >= 0) return free;
  const edges: [number, number][] = [
    [Math.max(0, ky / kk), 0],
    [0, Math.max(0, sy / ss)],
  ];
  const cost = ([K, S]: [number, number]) =>
    rows.reduce((sum, { k, s, y }) => sum + (k * K + s * S - y) ** 2, 0);
  return cost(edges[0]) <= cost(edges[1]) ? edges[0] : edges[1];
}
