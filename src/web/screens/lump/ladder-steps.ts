import type { Lab } from '../../../core/colour/triples.ts';
import { make } from '../../../domain/changes/steps.ts';
import type { PutStep } from '../../../domain/records/change.ts';
import { BOOK_LIMITS } from '../../../domain/records/limits.ts';
import type { BodyOf } from '../../../domain/records/record.ts';
import type { LadderAnswer, LadderStep } from '../../../verbs/ladder.ts';
import { newId } from '../../book/change.ts';
import type { OpenClays } from '../../book/clays.ts';
import { predictedOf } from '../../book/saved-with-mix.ts';
import { handOfRecipe } from '../../find/recipe-hand.ts';
import type { Studio } from '../../find/studio.ts';
import { countInWords, type PieceGroup } from '../../parts/piece-group.ts';

export type EndNames = readonly [string, string];

/** The first mix or the last by itself: the book has it already. */
export function isEnd({ pieces, ofPreMix }: LadderStep): boolean {
  return ofPreMix === 0 && pieces.includes(0);
}

export function stepKey({ pieces, ofPreMix }: LadderStep): string {
  return [...pieces, ofPreMix].join(':');
}

/** What is cut for a step, in the order of the ladder: the first mix, the pre-mix, the last mix. */
export function groupsOfStep(
  { pieces, ofPreMix }: Pick<LadderStep, 'pieces' | 'ofPreMix'>,
  { ends, preMix }: LadderAnswer,
  names: EndNames,
): PieceGroup[] {
  const group = (id: string, name: string, lab: Lab | undefined, parts: number) =>
    parts === 0 ? [] : [{ id, name, lab, parts }];
  return [
    ...group('0', names[0], ends[0], pieces[0]),
    ...group('pre-mix', 'pre-mix', preMix?.shown, ofPreMix),
    ...group('1', names[1], ends[1], pieces[1]),
  ];
}

/** "3 + 9", of an end "1". */
export function countsInWords(step: LadderStep): string {
  if (isEnd(step)) return countInWords(1);
  const [from, to] = step.pieces;
  return [from, step.ofPreMix, to]
    .filter((n) => n > 0)
    .map(countInWords)
    .join(' + ');
}

/** Changes that save the pre-mix and the steps between the ends, the steps mixed from the pre-mix. */
export function stepsAsMixes(
  answer: LadderAnswer,
  names: EndNames,
  clays: OpenClays,
  studio: Studio,
): PutStep<'mix'>[] {
  const common = { basis: clays.worker.basis, status: 'idea' as const, tags: ['steps'] };
  const named = (what: string | number) =>
    `${names[0]} to ${names[1]} ${what}`.slice(0, BOOK_LIMITS.name);
  const partsOf = (recipe: LadderStep['parts']) =>
    handOfRecipe(recipe, studio).map(({ blockId, parts }) => ({
      of: { kind: 'block' as const, id: blockId },
      parts,
    }));
  const { preMix, steps } = answer;
  const inner = steps.filter((step) => !isEnd(step));
  const mixOf = (step: LadderStep, i: number, parts: BodyOf<'mix'>['parts']) =>
    make('mix', {
      ...common,
      name: named(i + 2),
      parts,
      predicted: predictedOf({ lab: step.shown, plusMinus: step.plusMinus }, clays.modelId),
    });
  if (preMix === undefined) return inner.map((step, i) => mixOf(step, i, partsOf(step.parts)));
  const preMixId = newId('mix');
  const recipes = [steps[0]?.parts ?? [], steps.at(-1)?.parts ?? []] as const;
  return [
    make('mix', { ...common, name: named('pre-mix'), parts: partsOf(preMix.parts) }, preMixId),
    ...inner.map((step, i) => {
      if (step.ofPreMix === 0) return mixOf(step, i, partsOf(step.parts));
      // A piece of an end that is a mix is as large as all parts of its recipe together.
      const at = step.pieces[0] > 0 ? 0 : 1;
      const pieces = step.pieces[at];
      const whole = pieces === 0 ? 1 : recipes[at].reduce((sum, { parts }) => sum + parts, 0);
      return mixOf(step, i, [
        { of: { kind: 'mix', id: preMixId }, parts: step.ofPreMix * whole },
        ...(pieces === 0
          ? []
          : partsOf(recipes[at].map(({ clay, parts }) => ({ clay, parts: parts * pieces })))),
      ]);
    }),
  ];
}
