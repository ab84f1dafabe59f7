import { expect, it } from 'vitest';
import type { RecordOf } from '../../../domain/records/record.ts';
import { packetInWords, togetherInWords } from './baking-in-words.ts';

const METRIC = { length: 'mm', mass: 'g', temp: 'C', volume: 'ml' } as const;
const line = (name: string, body: Partial<RecordOf<'line'>['body']>) =>
  ({ id: name, body: { name, status: 'current', ...body } }) as RecordOf<'line'>;

it('says what a packet says and no more', () => {
  const { body } = line('Saltmarsh', {
    bakeLowC: 110,
    bakeHighC: 130,
    minutesPer6Mm: 30,
    neverExceedC: 140,
  });
  expect(packetInWords(body, METRIC)).toBe(
    '110 °C to 130 °C, 30 min for each 6 mm of thickness, never above 140 °C',
  );
  expect(packetInWords(line('Brindle', {}).body, METRIC)).toBe('no notes; follow the label');
});

it('never names a heat that one of the packets forbids', () => {
  const salt = line('Saltmarsh', { bakeLowC: 110, bakeHighC: 130 });
  const brindle = line('Brindle', { bakeLowC: 120, bakeHighC: 150, neverExceedC: 125 });
  expect(togetherInWords([salt, brindle], METRIC)).toBe(
    'All these packages allow 120 °C to 125 °C.',
  );
  const lantern = line('Lantern', { bakeLowC: 135, bakeHighC: 150 });
  expect(togetherInWords([salt, lantern], METRIC)).toContain('No heat suits all these packages');
  expect(togetherInWords([salt, line('Foam', {})], METRIC)).toContain('the label of Foam');
});
