import { invalidInput } from '../errors.ts';
import { type HeatLayer, heatModes, secondsUntil } from './heat-layers.ts';
import { type Body, fourierUntil, restAtMiddle, seriesTerms } from './heat-series.ts';

/** What heat meets on its way: the clay and the air of the oven. */
export interface HeatConditions {
  readonly conductivityWPerMK: number;
  /** Density times specific heat. */
  readonly heatJPerM3K: number;
  /** Convection and radiation together. */
  readonly transferWPerM2K: number;
}

/**
 * Plasticised PVC: k 0.17 W/mK, specific heat 1400 J/kgK (data sheets of plasticised PVC); density 1400
 * kg/m3. Still air of an oven at 130 degrees, with radiation: common practice, no source.
 */
export const USUAL_HEAT: HeatConditions = {
  conductivityWPerMK: 0.17,
  heatJPerM3K: 1400 * 1400,
  transferWPerM2K: 15,
};

export const AIRS = ['still', 'fan'] as const;
export type Air = (typeof AIRS)[number];

/**
 * Slow and fast ends of what a clay and an oven may be: k 0.15 to 0.25 W/mK, diffusivity 0.07 to 0.13
 * mm2/s for filled clay; 12 to 20 W/m2K in still air, 20 to 35 with a fan. Common practice, no source.
 */
const CLAY_ENDS = [
  { conductivityWPerMK: 0.15, heatJPerM3K: 0.15 / 0.07e-6 },
  { conductivityWPerMK: 0.25, heatJPerM3K: 0.25 / 0.13e-6 },
] as const;
const AIR_ENDS: Readonly<Record<Air, readonly [number, number]>> = {
  still: [12, 20],
  fan: [20, 35],
};

/** What is inside a skin of clay. Crushed foil and clay baked before: common practice, no source. */
const CORES = {
  foil: { conductivityWPerMK: 2, heatJPerM3K: 800 * 900 },
  clay: { conductivityWPerMK: 0.17, heatJPerM3K: 1400 * 1400 },
} as const;
export type Core = keyof typeof CORES;
export const CORE_NAMES = Object.keys(CORES) as Core[];

/**
 * What clay lies on, as a range. `crossing` is the share of a sheet's thickness that heat must cross: a
 * half with air on both sides, all of it where nothing comes through from below. `blocked` is the share of
 * a rod's or a ball's surface that gets no heat. Common practice, no source.
 */
const STANDS = {
  free: { crossing: [0.5, 0.5], blocked: [0, 0] },
  paper: { crossing: [0.5, 0.75], blocked: [0, 0.15] },
  tile: { crossing: [0.5, 1], blocked: [0, 0.25] },
  foam: { crossing: [1, 1], blocked: [0.25, 0.5] },
} as const;
export type StandsOn = keyof typeof STANDS;
export const STANDS_ON = Object.keys(STANDS) as StandsOn[];

/** A shape that must get hot all through, mm. */
export interface Bulk {
  readonly body: Body;
  /** Thickness of a sheet, diameter of a rod or a ball. */
  readonly sizeMm: number;
  readonly core?: { readonly of: Core; readonly sizeMm: number };
}

/** Through is when the middle has made 95 % of its rise; by then only the first terms still count. */
const REST = 0.05;
const LATE_TERMS = 3;

/** Sizes that a part to bake may have, mm. */
export const BULK_RANGE = [0.1, 300] as const;

/**
 * Minutes until the slowest clay of a shape has made 95 % of its rise.
 * Units:   mm; `crossing` and `blocked` 0-1, as in `STANDS`
 * Refuses: a size outside `BULK_RANGE`, a core as large as the whole -> invalid-input
 */
export function minutesThrough(
  { body, sizeMm, core }: Bulk,
  heat: HeatConditions,
  crossing = 0.5,
  blocked = 0,
): number {
  checkBulk({ body, sizeMm, ...(core === undefined ? {} : { core }) });
  const { conductivityWPerMK: k, heatJPerM3K } = heat;
  const depthM = ((body === 'slab' ? crossing : 0.5) * sizeMm) / 1000;
  const h = heat.transferWPerM2K * (body === 'slab' ? 1 : 1 - blocked);
  if (core === undefined) {
    const terms = seriesTerms(body, (h * depthM) / k, LATE_TERMS);
    return (fourierUntil(terms, REST) * depthM ** 2 * heatJPerM3K) / k / 60;
  }
  const skin: HeatLayer = {
    thicknessM: depthM * (1 - core.sizeMm / sizeMm),
    conductivityWPerMK: k,
    heatJPerM3K,
  };
  const inside: HeatLayer = { thicknessM: depthM - skin.thicknessM, ...CORES[core.of] };
  return secondsUntil(heatModes(body, [inside, skin], h), REST) / 60;
}

/** Temperature in the middle after some minutes, for a shape of clay all through. */
export function middleAfter(
  bulk: Bulk,
  heat: HeatConditions,
  {
    fromC,
    ovenC,
    minutes,
  }: { readonly fromC: number; readonly ovenC: number; readonly minutes: number },
): number {
  checkBulk(bulk);
  const depthM = bulk.sizeMm / 2000;
  const { conductivityWPerMK: k } = heat;
  const terms = seriesTerms(bulk.body, (heat.transferWPerM2K * depthM) / k);
  const fourier = (k * minutes * 60) / heat.heatJPerM3K / depthM ** 2;
  return ovenC + (fromC - ovenC) * restAtMiddle(terms, fourier);
}

/**
 * Clay, air and support are seldom all at their slow ends: of sums of three even spreads, nine in ten lie
 * within 0.55 to 0.75 of the way to the ends, by their sizes. In logs of minutes, from the middle.
 */
const NINE_IN_TEN = 0.7;

/** Fewest and most minutes of nine cases in ten, over what clay, oven and support may be. */
export interface MinuteRange {
  readonly low: number;
  readonly high: number;
}

export function throughRange(bulk: Bulk, standsOn: StandsOn, air: Air): MinuteRange {
  const { crossing, blocked } = STANDS[standsOn];
  const [slow, fast] = CLAY_ENDS;
  const [calm, quick] = AIR_ENDS[air];
  const least = minutesThrough(bulk, { ...fast, transferWPerM2K: quick }, crossing[0], blocked[0]);
  const most = minutesThrough(bulk, { ...slow, transferWPerM2K: calm }, crossing[1], blocked[1]);
  const middle = Math.sqrt(least * most);
  const wide = Math.sqrt(most / least) ** NINE_IN_TEN;
  return { low: middle / wide, high: middle * wide };
}

function checkBulk({ sizeMm, core }: Bulk): void {
  if (!(sizeMm >= BULK_RANGE[0] && sizeMm <= BULK_RANGE[1])) {
    throw invalidInput(
      `A part of ${sizeMm} mm cannot be planned.`,
      `Give the thickness in mm, from ${BULK_RANGE[0]} to ${BULK_RANGE[1]}.`,
    );
  }
  if (core !== undefined && !(core.sizeMm > 0 && core.sizeMm < sizeMm)) {
    throw invalidInput(
      `A core of ${core.sizeMm} mm does not fit into ${sizeMm} mm.`,
      'Give the core smaller than the whole.',
    );
  }
}
