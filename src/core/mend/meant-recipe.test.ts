import { describe, expect, it } from 'vitest';
import { chanceOfMeant } from './meant-recipe.ts';

/** Two clays, of which the second is as far from the first as a draw says: what is wanted tells how far. */
const colourOf = (far: number, [one, two]: readonly number[]) => {
  const share = two / (one + two);
  return [50 + far * share, 0, 0];
};

describe('a recipe that was meant', () => {
  it('makes draws likelier in which a recipe close to the lump has the colour wanted', () => {
    // 5 + 3 is in the lump; 4 + 4 has the colour wanted where the second clay is 20 lighter.
    const chance = chanceOfMeant([5, 3], [60, 0, 0], [18, 20, 22], colourOf)!;
    expect(chance(20)).toBeGreaterThan(chance(60));
    expect(chance(20)).toBeGreaterThan(chance(-20));
  });

  it('leaves draws alike where no recipe close to the lump has the colour', () => {
    const chance = chanceOfMeant([5, 3], [60, 40, 0], [18, 20, 22], colourOf)!;
    expect(chance(20)).toBeCloseTo(chance(24), 6);
  });

  it('says nothing of one clay, or of counts that are not whole', () => {
    expect(chanceOfMeant([5], [60, 0, 0], [20], colourOf)).toBeUndefined();
    expect(chanceOfMeant([5.5, 3], [60, 0, 0], [20], colourOf)).toBeUndefined();
  });
});
