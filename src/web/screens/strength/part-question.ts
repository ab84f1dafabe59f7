import { specimenInWords } from '../../../core/strength/specimen.ts';
import { strainOf } from '../../../core/strength/strain.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { actionInWords } from '../../../verbs/hold-words.ts';
import { numberIn, type PartAsked } from './part-asked.ts';

type BendTest = RecordOf<'bend-test'>;

/** Ways in which specimens were bent, each with one test that did it; pinches have no measure. */
export function waysBent(
  tests: readonly BendTest[],
): readonly { readonly id: string; readonly words: string }[] {
  const ways = new Map<string, string>();
  for (const { id, body } of tests) {
    const { specimen, action, amount } = body;
    if (strainOf(specimen, action, amount).rankOnly) continue;
    const words = `${specimenInWords(specimen)}, ${actionInWords(action, amount)}`;
    if (!ways.has(words)) ways.set(words, id);
  }
  return [...ways].map(([words, id]) => ({ id, words }));
}

/** The part and what it must take, as the question has them. */
export function questionOfPart(
  { shape, push, like, wanted }: PartAsked,
  tests: readonly BendTest[],
) {
  const test = tests.find(({ id }) => id === like)?.body;
  const far = numberIn(push);
  if (test !== undefined) {
    const { specimen, action, amount } = test;
    const bent = { specimen, action, ...(amount === undefined ? {} : { amount }) };
    return { shape, wanted: wanted / 10, like: bent };
  }
  return { shape, wanted: wanted / 10, ...(far === undefined ? {} : { push: far }) };
}
