import { describe, expect, it } from 'vitest';
import { spokenColour } from '../../colour/spoken-colour.ts';
import { COLOURS } from './colours-to-point-at.ts';

describe('the colours to point at', () => {
  it('are called differently, so that a screen reader tells them apart', () => {
    const names = COLOURS.map((lab) => spokenColour(lab));
    expect(new Set(names).size).toBe(names.length);
  });
});
