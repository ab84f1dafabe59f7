import { describe, expect, it } from 'vitest';
import { fewCodesNote } from './few-codes.ts';

const picture = (codes: Uint8Array | Uint16Array) => ({ width: 1, height: 1, codes });
const patches = (blue: number) =>
  [0.9, 0.4, 0.3, 0.2].map((v) => ({ code: [v, v, blue * v] as const }));

describe('few steps in dark patches', () => {
  it('are said with the channel and what to do, in photos of 8 bits', () => {
    const note = fewCodesNote(picture(new Uint8Array(3)), patches(0.05));
    expect(note).toMatch(/3 dark patches .* hardly any blue .* cooler light/);
    expect(fewCodesNote(picture(new Uint16Array(3)), patches(0.1))).toBeUndefined();
  });

  it('are counted as the file holds them, where its codes are linear', () => {
    expect(fewCodesNote(picture(new Uint8Array(3)), patches(0.5))).toBeUndefined();
    expect(fewCodesNote(picture(new Uint8Array(3)), patches(0.5), true)).toContain('blue');
  });

  it('are not said of strong colours, which have little of one channel at any light', () => {
    const strong = [0.5, 0.6, 0.7].map((v) => ({ code: [0, v, v] as const }));
    expect(fewCodesNote(picture(new Uint8Array(3)), strong)).toBeUndefined();
  });

  it('are not said where one patch alone is that dark', () => {
    expect(fewCodesNote(picture(new Uint8Array(3)), patches(0.12))).toBeUndefined();
    expect(fewCodesNote(picture(new Uint8Array(3)), patches(1))).toBeUndefined();
  });
});
