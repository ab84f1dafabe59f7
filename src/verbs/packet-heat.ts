import type { PacketHeat } from '../core/oven/bake-plan.ts';
import { bakingOfLine } from '../domain/clay-of-block.ts';
import type { BodyOf } from '../domain/records/record.ts';
import type { BakeSubject } from './bake.ts';

/** What the packet of a line says, as a bake takes it. */
export function packetHeatOf(line: BodyOf<'line'>): PacketHeat {
  const { heat, neverExceedC, minutesPer6Mm } = bakingOfLine(line);
  return {
    name: line.name,
    ...(heat ?? {}),
    ...(neverExceedC === undefined ? {} : { neverExceedC }),
    ...(minutesPer6Mm === undefined ? {} : { minutesPer6Mm }),
  };
}

const DAY_MS = 86_400_000;

/** One check of an oven, its day counted from 1970. */
export function runOfOven(body: BodyOf<'oven-check'>): BakeSubject['ovens'][number] {
  const { name, on, setTempC, readings } = body;
  return { name, check: { setTempC, readings, day: Date.parse(`${on}T00:00:00Z`) / DAY_MS } };
}
