import type { Lab } from '../../../core/colour/triples.ts';
import { labOfReading } from '../../../domain/records/lab-of-reading.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { useAll } from '../../book/queries.ts';
import { tempInWords, type Units, useUnits } from '../../book/units.ts';
import { dayInWords } from '../../book/when-in-words.ts';

export interface TileLife {
  readonly raw: Lab | undefined;
  readonly baked: Lab | undefined;
  /** What happened to the tile, in few words each. */
  readonly facts: readonly string[];
}

/** The colours of a tile and what happened to it. `readings` are its own, the surest first. */
export function useTileLife(
  { body }: RecordOf<'tile'>,
  readings: readonly RecordOf<'reading'>[],
): TileLife {
  const units = useUnits();
  const boxes = useAll('box').byId;
  const box = body.boxId === undefined ? undefined : boxes.get(body.boxId);
  return {
    raw: colourOf(readings, 'raw'),
    baked: colourOf(readings, 'baked'),
    facts: [
      ...bakesInWords(body, units),
      body.thicknessMm === undefined ? '' : thicknessInWords(body.thicknessMm, units),
      body.finish ?? '',
      box === undefined ? '' : `in ${box.body.lid}`,
    ].filter((fact) => fact !== ''),
  };
}

export function colourOf(
  readings: readonly RecordOf<'reading'>[],
  state: 'raw' | 'baked',
): Lab | undefined {
  return readings
    .filter(({ body }) => body.state === state)
    .map(({ body }) => labOfReading(body))
    .find((lab) => lab !== undefined);
}

function thicknessInWords(mm: number, { length }: Units): string {
  return length === 'mm'
    ? `${Number(mm.toFixed(1))} mm thick`
    : `${Number((mm / 25.4).toFixed(2))} in thick`;
}

/** "baked 10 Jan 2026, 130 °C, 40 min" */
function bakesInWords({ bakes, state }: RecordOf<'tile'>['body'], units: Units): readonly string[] {
  if (bakes.length === 0) return [state === 'raw' ? 'not baked yet' : 'baked'];
  return bakes.map(({ day, actualTempC, setTempC, minutes }) => {
    const heat = actualTempC ?? setTempC;
    return [
      `baked${day === undefined ? '' : ` ${dayInWords(day)}`}`,
      heat === undefined ? '' : tempInWords(heat, units),
      `${minutes} min`,
    ]
      .filter(Boolean)
      .join(', ');
  });
}
