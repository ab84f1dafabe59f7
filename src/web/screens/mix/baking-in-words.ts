import { inARow } from '../../../core/in-a-row.ts';
import { type Baking, bakingOfLine, commonHeat } from '../../../domain/clay-of-block.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { tempInWords, type Units } from '../../book/units.ts';

type Line = RecordOf<'line'>;

/** What a packet says of heat and time. */
export function packetInWords(line: Line['body'], units: Units): string {
  const { heat, minutesPer6Mm, neverExceedC } = bakingOfLine(line);
  const said = [
    heat === undefined ? undefined : heatInWords(heat, units),
    minutesPer6Mm === undefined
      ? undefined
      : `${minutesPer6Mm} min for each ${units.length === 'mm' ? '6 mm' : '1/4 in'} of thickness`,
    neverExceedC === undefined ? undefined : `never above ${tempInWords(neverExceedC, units)}`,
  ].filter((part) => part !== undefined);
  return said.length === 0 ? 'no notes; follow the label' : said.join(', ');
}

export function heatInWords({ lowC, highC }: NonNullable<Baking['heat']>, units: Units): string {
  return lowC === highC
    ? tempInWords(lowC, units)
    : `${tempInWords(lowC, units)} to ${tempInWords(highC, units)}`;
}

/** Whether any heat suits the packages of all lines. */
export function togetherInWords(lines: readonly Line[], units: Units): string {
  const bakings = lines.map(({ body }) => ({ name: body.name, ...bakingOfLine(body) }));
  const silent = bakings.filter(({ heat }) => heat === undefined).map(({ name }) => name);
  if (silent.length > 0) {
    return `Read the label of ${inARow(silent)} before you bake these together.`;
  }
  const heat = commonHeat(bakings);
  if (heat === undefined) {
    return 'No heat suits all these packages. Bake a small test tile first, at the lowest heat on the labels.';
  }
  const only = heat.lowC === heat.highC ? ' only' : '';
  return `All these packages allow ${heatInWords(heat, units)}${only}.`;
}
