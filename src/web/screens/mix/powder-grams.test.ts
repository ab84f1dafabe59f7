import { expect, it } from 'vitest';
import { powderGrams } from './powder-grams.ts';

it('gives a powder its share of the clay and all powders together', () => {
  // 2 % of 20 g: 19.6 g of clay take 0.4 g.
  expect(powderGrams(19.6, [{ share: 0.02 }], 0.02)).toBeCloseTo(0.4, 12);
  const powders = [{ share: 0.02 }, { share: 0.08 }];
  const [a, b] = powders.map(({ share }) => powderGrams(9, powders, share));
  expect(a / (9 + a + b)).toBeCloseTo(0.02, 12);
  expect(b / (9 + a + b)).toBeCloseTo(0.08, 12);
});
