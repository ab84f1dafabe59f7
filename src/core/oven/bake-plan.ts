import { invalidInput } from '../errors.ts';
import { type Air, type Bulk, type MinuteRange, type StandsOn, throughRange } from './clay-heat.ts';
import type { OvenHabits } from './oven-check.ts';

/** What the packet of a line says, as far as it says anything. */
export interface PacketHeat {
  readonly name: string;
  readonly lowC?: number;
  readonly highC?: number;
  readonly neverExceedC?: number;
  readonly minutesPer6Mm?: number;
}

export interface BakeAsked {
  readonly lines: readonly PacketHeat[];
  /** Shapes of each bake in turn; what was baked before bakes again. */
  readonly stages: readonly (readonly Bulk[])[];
  readonly standsOn: StandsOn;
  readonly air: Air;
  /** What is known of the oven; without, only a thermometer at the clay can say. */
  readonly oven?: Pick<OvenHabits, 'offsetC' | 'swingC' | 'warmUpMinutes'>;
  /** A dial setting to judge, in place of the planned one. */
  readonly dialC?: number;
}

/** Peak at the clay above which the plan warns, and above which there is none. Common practice, no source;
 * PVC without stabiliser starts to break down at about 160 degrees (notes of stabiliser makers). */
export const WARN_ABOVE_C = 150;
export const REFUSE_ABOVE_C = 160;
/** Small ovens swing by 10 to 25 degrees either way: common practice, no source. */
const UNKNOWN_SWING_C = 15;
/** A simple oven thermometer is read to 5 degrees: common practice, no source. */
const READ_WITHIN_C = 5;
/** Minutes at heat where the packet gives none: the upper end of 15 to 30. Common practice, no source. */
const USUAL_MINUTES = 30;
/** Underbaking is the risk, so the time at heat doubles: common practice, no source. */
const LONGER = 2;
/** Thicker clay is better built over a core: common practice, no source. mm */
const SOLID_UP_TO_MM = 25;

export type BakeRisk =
  /** No temperature suits all packets. */
  | 'no overlap'
  /** The oven swings more than the packets allow. */
  | 'swing'
  /** Peak above `WARN_ABOVE_C`. */
  | 'hot'
  | 'dial above a packet'
  | 'dial below a packet'
  | 'thick'
  | 'oven not measured';

export interface BakeStage {
  /** The part that takes longest. */
  readonly slowest: Bulk;
  readonly through: MinuteRange;
  /** After the slowest part is hot through. */
  readonly atHeat: number;
  /** From an oven at heat to the end; the upper end is planned. */
  readonly minutes: MinuteRange;
}

export type BakePlan =
  | {
      readonly kind: 'plan';
      /** Common window of the packets, or none. */
      readonly window?: { readonly lowC: number; readonly highC: number };
      /** What to aim at, by a thermometer at the clay; of a measured oven the mean. */
      readonly meanC: number;
      /** The hottest moment: of a measured oven what comes, else what must never be passed. */
      readonly peakC: number;
      /** Either way; only of a measured oven. */
      readonly swingC?: number;
      /** What to set; only of a measured oven. */
      readonly dialC?: number;
      readonly warmUpMinutes?: number;
      readonly stages: readonly BakeStage[];
      /** Minutes at heat of what is in the oven every time. */
      readonly totalMinutes: number;
      /** Whether the minutes come from a packet. */
      readonly minutesOnPacket: boolean;
      readonly risks: readonly BakeRisk[];
    }
  | {
      readonly kind: 'no temperature';
      readonly silent: readonly string[];
      readonly stages: readonly BakeStage[];
    }
  | { readonly kind: 'too hot'; readonly peakC: number; readonly stages: readonly BakeStage[] };

/**
 * How hot and how long: the common window of all lines, and time for the slowest part.
 * Units:   degrees Celsius at the clay, minutes
 * Refuses: no line, no shape, a packet whose temperatures fall -> invalid-input
 * Holds:   unless a dial is given, the peak of a measured oven never passes a packet's never-exceed, or its
 *          upper limit where it names no other; nothing on a packet gives no temperature
 * Limits:  an oven that was never checked is aimed at the middle of the window by a thermometer at the clay,
 *          since nobody knows its dial; the window itself is then what must not be left. Without overlap the
 *          lowest upper limit is taken, the time at heat is doubled, and the plan says that underbaking is likely
 */
export function planBake(asked: BakeAsked): BakePlan {
  checkAsked(asked);
  const { lines, oven, dialC } = asked;
  const silent = lines.filter(({ lowC, highC }) => lowC === undefined && highC === undefined);
  if (silent.length > 0) {
    return {
      kind: 'no temperature',
      silent: silent.map(({ name }) => name),
      stages: stagesOf(asked, 1),
    };
  }
  const limits = limitsOf(lines);
  const { lowC, highC, peakLimitC } = limits;
  const overlap = lowC <= highC;
  const { meanC, peakC } = heatOf(asked, limits);
  if (peakC > REFUSE_ABOVE_C) return { kind: 'too hot', peakC, stages: stagesOf(asked, 1) };
  const risks: BakeRisk[] = [];
  if (!overlap) risks.push('no overlap');
  else if (dialC === undefined && meanC < lowC) risks.push('swing');
  if (dialC !== undefined && peakC > peakLimitC) risks.push('dial above a packet');
  if (dialC !== undefined && meanC < lowC) risks.push('dial below a packet');
  if (peakC > WARN_ABOVE_C) risks.push('hot');
  const thick = asked.stages
    .flat()
    .some(({ sizeMm, core }) => core === undefined && sizeMm > SOLID_UP_TO_MM);
  if (thick) risks.push('thick');
  if (oven === undefined) risks.push('oven not measured');
  const cool = !overlap || meanC < lowC;
  const stages = stagesOf(asked, cool ? LONGER : 1);
  return {
    kind: 'plan',
    ...(overlap ? { window: { lowC, highC } } : {}),
    meanC,
    peakC,
    ...(oven === undefined
      ? {}
      : {
          swingC: oven.swingC,
          dialC: dialC ?? Math.floor(meanC - oven.offsetC),
          warmUpMinutes: oven.warmUpMinutes,
        }),
    stages,
    totalMinutes: stages.reduce((sum, { minutes }) => sum + minutes.high, 0),
    minutesOnPacket: lines.some(({ minutesPer6Mm }) => minutesPer6Mm !== undefined),
    risks,
  };
}

interface HeatLimits {
  /** The window of all packets; its ends cross where they have none in common. */
  readonly lowC: number;
  readonly highC: number;
  /** What no moment may pass: the lowest never-exceed, or the upper limit of a packet that names none. */
  readonly peakLimitC: number;
}

function limitsOf(lines: readonly PacketHeat[]): HeatLimits {
  const highOf = (line: PacketHeat) => line.highC ?? line.lowC!;
  return {
    lowC: Math.max(...lines.map((line) => line.lowC ?? line.highC!)),
    highC: Math.min(...lines.map(highOf)),
    peakLimitC: Math.min(...lines.map((line) => line.neverExceedC ?? highOf(line))),
  };
}

/** What to aim at, and the hottest moment. */
function heatOf({ oven, dialC }: BakeAsked, { lowC, highC, peakLimitC }: HeatLimits) {
  const swingC = oven?.swingC ?? UNKNOWN_SWING_C;
  if (dialC !== undefined) {
    const meanC = dialC + (oven?.offsetC ?? 0);
    return { meanC, peakC: meanC + swingC };
  }
  const overlap = lowC <= highC;
  if (oven === undefined) {
    return { meanC: overlap ? (lowC + highC) / 2 : highC - READ_WITHIN_C, peakC: highC };
  }
  const meanC = Math.min(overlap ? (lowC + highC) / 2 : highC, peakLimitC - swingC);
  return { meanC, peakC: meanC + swingC };
}

/** Hot through, then the packet's time at heat; never less than the packet's rule by thickness. */
function stagesOf(
  { lines, stages, standsOn, air }: BakeAsked,
  longer: number,
): readonly BakeStage[] {
  const per6Mm = Math.max(0, ...lines.map(({ minutesPer6Mm }) => minutesPer6Mm ?? 0));
  const atHeat = (per6Mm === 0 ? USUAL_MINUTES : per6Mm) * longer;
  return stages.map((shapes) => {
    const ranges = shapes.map((bulk) => ({ bulk, through: throughRange(bulk, standsOn, air) }));
    const { bulk: slowest, through } = ranges.reduce((a, b) =>
      b.through.high > a.through.high ? b : a,
    );
    const thickestMm = Math.max(...shapes.map(({ sizeMm, core }) => sizeMm - (core?.sizeMm ?? 0)));
    const byPacket = (per6Mm * thickestMm) / 6;
    const upTo = (minutes: number) => Math.ceil(Math.max(minutes + atHeat, byPacket));
    return {
      slowest,
      through,
      atHeat,
      minutes: { low: upTo(through.low), high: upTo(through.high) },
    };
  });
}

function checkAsked({ lines, stages }: BakeAsked): void {
  if (lines.length === 0) {
    throw invalidInput('No line is named.', 'Name the lines of clay in the figure.');
  }
  if (stages.length === 0 || stages.some((shapes) => shapes.length === 0)) {
    throw invalidInput('No part is given.', 'Give the thickest part in mm.');
  }
  for (const { name, lowC, highC, neverExceedC } of lines) {
    const rising = [lowC, highC, neverExceedC].filter((t) => t !== undefined);
    if (rising.every((t, i) => Number.isFinite(t) && (i === 0 || t >= rising[i - 1]))) continue;
    throw invalidInput(
      `The temperatures of ${name} do not rise: lowest, highest, never above.`,
      'Correct them by the packet.',
    );
  }
}
