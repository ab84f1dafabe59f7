import { expect, it } from 'vitest';
import { colourOfName } from './colour-of-name.ts';
import { lchFromLab } from './spaces.ts';

it('says the colour that words of a name mean, never better than words can', () => {
  const green = colourOfName('Dark green 12')!;
  const [lightness, , hue] = lchFromLab(green.lab);
  expect(lightness).toBeLessThan(45);
  expect(hue).toBeGreaterThan(110);
  expect(hue).toBeLessThan(200);
  expect(green.spread).toBeGreaterThanOrEqual(10);
  expect(colourOfName('White')!.lab[0]).toBeGreaterThan(85);
  // Plain green may be pale or dark, so it is less sure than dark green.
  expect(colourOfName('Green')!.spread).toBeGreaterThan(green.spread);
});

it('says nothing of a name without a colour, and of words that contradict', () => {
  expect(colourOfName('Kelp')).toBeUndefined();
  expect(colourOfName('')).toBeUndefined();
  expect(colourOfName('Vivid navy cream')).toBeUndefined();
});
