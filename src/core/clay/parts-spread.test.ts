import { expect, it } from 'vitest';
import { spreadOfPart } from './parts-spread.ts';

it('is the same for usual parts, and grows with the root of how small a part is', () => {
  expect(spreadOfPart(0.03, 0.5)).toBe(0.03);
  expect(spreadOfPart(0.03, 0.02)).toBe(0.03);
  expect(spreadOfPart(0.03, 0.005)).toBeCloseTo(0.06, 12);
  expect(spreadOfPart(0.03, 0)).toBeLessThan(0.5);
  expect(spreadOfPart(0, 0.001)).toBe(0);
});
