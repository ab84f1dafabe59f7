import { expect, it } from 'vitest';
import { FIRST_AIM } from '../find/find-request.ts';
import { wantedOf } from './saved-with-mix.ts';

it('saves the name of a wanted colour, but no name where nobody chose one', () => {
  expect(wantedOf({ lab: [50, 1, 2], words: 'sea glass' })).toEqual({
    lab: [50, 1, 2],
    name: 'sea glass',
  });
  expect(wantedOf(FIRST_AIM)).toEqual({ lab: [...FIRST_AIM.lab] });
});
