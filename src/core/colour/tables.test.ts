import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { colourTables } from '../../../tools/colour-tables.ts';

describe('the colour tables', () => {
  it.each(colourTables())('$file is what its generator writes', ({ file, text }) => {
    expect(readFileSync(new URL(file, import.meta.url), 'utf8')).toBe(text);
  });
});
