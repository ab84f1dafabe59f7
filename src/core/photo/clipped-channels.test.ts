import { describe, expect, it } from 'vitest';
import { clippedChannels, meantLight, strongerLights } from './clipped-channels.ts';

describe('channels at the bottom of what a file can hold', () => {
  it('are found from what the others hold, in dim colours too', () => {
    expect(clippedChannels([0.0002, 0.3, 0.2])).toEqual([0]);
    expect(clippedChannels([0.0002, 0.0546, 0.0295])).toEqual([0]);
    expect(clippedChannels([0.003, 0.004, 0.0035])).toEqual([]);
    expect(clippedChannels([0.02, 0.3, 0.2])).toEqual([]);
  });

  it('are estimated below it, the closer to it the further, and never jump', () => {
    const at = (red: number) => meantLight([red, 0.3, 0.2])[0];
    expect(at(0)).toBeLessThan(-0.004);
    for (let red = 0; red < 0.006; red += 0.0001) {
      expect(at(red + 0.0001)).toBeGreaterThan(at(red));
      expect(at(red + 0.0001) - at(red)).toBeLessThan(0.0005);
    }
    expect(meantLight([0.1, 0.3, 0.2])).toEqual([0.1, 0.3, 0.2]);
    expect(strongerLights([0, 0.3, 0])).toHaveLength(2);
  });
});
