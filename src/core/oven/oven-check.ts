import { invalidInput } from '../errors.ts';

/** One run of an oven with a thermometer where the clay lies. */
export interface OvenCheck {
  /** On the dial. */
  readonly setTempC: number;
  /** Minutes since the oven was turned on, with what the thermometer said; in the order of time. */
  readonly readings: readonly { readonly minute: number; readonly tempC: number }[];
  /** Days since any start, for the drift between runs. */
  readonly day?: number;
}

export interface OvenHabits {
  /** Thermometer less dial, once warm. */
  readonly offsetC: number;
  /** Half of what lies between the hottest and the coolest moment once warm. */
  readonly swingC: number;
  readonly warmUpMinutes: number;
  /** How far the offset of single runs lies from their mean, at most; 0 for one run. */
  readonly apartC: number;
  /** Change of the offset in a year, from runs on several days at least a month apart. */
  readonly driftCPerYear?: number;
  readonly runs: number;
  /** Readings of the warm oven; with few, the swing may be larger. */
  readonly warmReadings: number;
}

/** Warm is when the rise from the first reading is this far done. */
const WARM = 0.95;
/** Fewer readings of a warm oven say nothing of its swing: common practice, no source. */
export const ENOUGH_READINGS = 5;
const LEAST_DAYS_APART = 30;

/**
 * What an oven really does, from its dial and a thermometer.
 * Units:   degrees Celsius, minutes
 * Refuses: a run without two readings, minutes that do not rise -> invalid-input
 * Holds:   the swing is never less than that of any run
 */
export function ovenHabits(checks: readonly OvenCheck[]): OvenHabits {
  if (checks.length === 0) throw invalidInput('There is no run of the oven to learn from.');
  const runs = checks.map(habitsOfRun);
  const offsetC = runs.reduce((sum, run) => sum + run.offsetC, 0) / runs.length;
  const drift = driftOf(runs.map(({ offsetC }, i) => ({ offsetC, day: checks[i].day })));
  return {
    offsetC,
    swingC: Math.max(...runs.map(({ swingC }) => swingC)),
    warmUpMinutes: Math.max(...runs.map(({ warmUpMinutes }) => warmUpMinutes)),
    apartC: Math.max(...runs.map((run) => Math.abs(run.offsetC - offsetC))),
    ...(drift === undefined ? {} : { driftCPerYear: drift }),
    runs: runs.length,
    warmReadings: Math.min(...runs.map(({ warmReadings }) => warmReadings)),
  };
}

function habitsOfRun({ setTempC, readings }: OvenCheck) {
  if (readings.length < 2) {
    throw invalidInput(
      'A run of the oven needs two readings or more.',
      'Read the thermometer every few minutes, for half an hour or longer.',
    );
  }
  for (const [i, { minute, tempC }] of readings.entries()) {
    if (!Number.isFinite(tempC) || !(minute >= 0) || (i > 0 && minute <= readings[i - 1].minute)) {
      throw invalidInput(
        `Reading ${i + 1} of the oven is out of order.`,
        'Give minutes that rise, each with a temperature.',
      );
    }
  }
  // Where the oven ends up: the mean of the last half of the time.
  const half = (readings[0].minute + readings.at(-1)!.minute) / 2;
  const settled = meanOf(readings.filter(({ minute }) => minute >= half).map((one) => one.tempC));
  const start = readings[0].tempC;
  const reached = readings.find(({ tempC }) =>
    settled > start ? tempC - start >= WARM * (settled - start) : true,
  )!;
  const warm = readings.filter(({ minute }) => minute >= reached.minute).map((one) => one.tempC);
  return {
    offsetC: meanOf(warm) - setTempC,
    swingC: (Math.max(...warm) - Math.min(...warm)) / 2,
    warmUpMinutes: reached.minute,
    warmReadings: warm.length,
  };
}

/** Slope of the offset over the days; none where the days are unknown or close together. */
function driftOf(
  runs: readonly { readonly offsetC: number; readonly day: number | undefined }[],
): number | undefined {
  const dated = runs.flatMap(({ offsetC, day }) => (day === undefined ? [] : [{ offsetC, day }]));
  const days = dated.map(({ day }) => day);
  if (dated.length < 2 || Math.max(...days) - Math.min(...days) < LEAST_DAYS_APART)
    return undefined;
  const [meanDay, meanOffset] = [meanOf(days), meanOf(dated.map(({ offsetC }) => offsetC))];
  const across = dated.reduce(
    (sum, one) => sum + (one.day - meanDay) * (one.offsetC - meanOffset),
    0,
  );
  return (365.25 * across) / days.reduce((sum, day) => sum + (day - meanDay) ** 2, 0);
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}
