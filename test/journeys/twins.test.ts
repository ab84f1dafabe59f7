import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { deltaE2000 } from '../../src/core/colour/difference.ts';
import type { Lab } from '../../src/core/colour/triples.ts';
import { DEMO_STOCK } from '../conformance/demo-clay.ts';
import { callHere, demoClayFile } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell twins '));
const clay = join(folder, 'clay.json');
const stock = join(folder, 'stock.csv');
const rows = DEMO_STOCK.filter(({ name }) => name !== 'Opal');
const lineOf = new Map(rows.map(({ name, line }) => [name, line]));

beforeAll(async () => {
  await demoClayFile(clay);
  writeFileSync(
    stock,
    `clay,line\n${rows.map(({ name, line }) => `${name},${line}`).join('\n')}\n`,
  );
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Seen {
  readonly parts: Readonly<Record<string, number>>;
  readonly lab: Lab;
  readonly dE00: number;
  readonly chance: number;
}

async function twins(...options: string[]) {
  const { out, err } = await callHere(['twins', clay, '--stock', stock, '--json', ...options]);
  expect(err).toBe('');
  return (
    JSON.parse(out) as { twins: { clay: string; lab: Lab; twin: Seen; pinch: Seen | null }[] }
  ).twins;
}

describe('twins', () => {
  it('names the closest clay of another line, and a pinch that comes closer', async () => {
    const found = await twins('--only', 'Kelp, Foam, Urchin');
    expect(found.map((one) => one.clay).sort()).toEqual(['Foam', 'Kelp', 'Urchin']);
    for (const { clay: name, lab, twin, pinch } of found) {
      const [other] = Object.keys(twin.parts);
      expect(lineOf.get(other)).not.toBe(lineOf.get(name));
      expect(deltaE2000(lab, twin.lab)).toBeCloseTo(twin.dE00, 9);
      if (pinch === null) continue;
      expect(pinch.dE00).toBeLessThan(twin.dE00 - 0.5);
      expect(pinch.parts[other]).toBeGreaterThanOrEqual(3);
      expect(Object.keys(pinch.parts)).not.toContain(name);
      const recipe = Object.entries(pinch.parts)
        .map(([word, n]) => `${n} ${word}`)
        .join(' + ');
      const { out } = await callHere(['predict', clay, '--of', recipe, '--json']);
      expect(deltaE2000(JSON.parse(out).lab, pinch.lab)).toBeLessThan(1e-9);
    }
    expect(found.some(({ pinch }) => pinch !== null)).toBe(true);
  });

  it('is said to a person in words', async () => {
    const { out } = await callHere(['twins', clay, '--stock', stock, '--only', 'Kelp']);
    expect(out).toMatch(/Kelp: \w+, .* off/);
  });
});
