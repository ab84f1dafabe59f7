import type { Lab } from '../../core/colour/triples.ts';
import { BOOK_LIMITS } from '../../domain/records/limits.ts';
import type { BodyOf } from '../../domain/records/record.ts';
import { FIRST_AIM } from '../find/find-request.ts';

type Mix = BodyOf<'mix'>;

/** The prediction a mix is saved with, to compare its tile with later. */
export function predictedOf(
  { lab: [l, a, b], plusMinus }: { readonly lab: Lab; readonly plusMinus: number },
  modelId: string | undefined,
): NonNullable<Mix['predicted']> {
  return {
    lab: [l, a, b],
    plusMinus: Math.min(100, plusMinus),
    ...(modelId === undefined ? {} : { clayModelId: modelId }),
  };
}

/** The wanted colour a mix is saved with, and its name where there is one. */
export function wantedOf({
  lab: [l, a, b],
  words = '',
}: {
  readonly lab: Lab;
  readonly words?: string | undefined;
}): NonNullable<Mix['wanted']> {
  // Where nobody chose a colour, the words for that are no name.
  const name = words === FIRST_AIM.words ? '' : words.trim().slice(0, BOOK_LIMITS.name);
  return { lab: [l, a, b], ...(name === '' ? {} : { name }) };
}
