import { expect, it } from 'vitest';
import { answeredAtOnce } from '../../core/find/work-steps.ts';
import { bake } from '../../verbs/bake.ts';
import { faultInWords } from './fault-in-words.ts';

it('names the field of a question that does not fit, in plain words', () => {
  const ask = () =>
    answeredAtOnce(bake.ask({} as never, { lines: ['Saltmarsh'], thickest: 9999 } as never));
  let fault: unknown;
  try {
    ask();
  } catch (caught) {
    fault = caught;
  }
  expect(faultInWords(fault)).toEqual({
    code: 'does-not-fit',
    detail: 'Please check “thickest”: it should be at most 300.',
    hint: '',
  });
});
