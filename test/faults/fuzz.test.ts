import { describe, expect, it } from 'vitest';
import { fuzzEndpoints } from './fuzz/endpoints.ts';
import { fuzzImporters } from './fuzz/importers.ts';

// `npm run fuzz` does the same with 200,000.
describe('damaged input, 2,000 pieces', () => {
  it('breaks no importer', () => {
    const { taken, refused } = fuzzImporters(1000, 1);
    // A generator that only ever makes one of the two shows nothing.
    expect(taken).toBeGreaterThan(20);
    expect(refused).toBeGreaterThan(200);
  });

  it('breaks no endpoint', async () => {
    const { answers } = await fuzzEndpoints(1000, 1);
    expect(answers.get(200) ?? 0).toBeGreaterThan(50);
    expect(answers.get(400) ?? 0).toBeGreaterThan(100);
  });
});
