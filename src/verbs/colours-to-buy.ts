import { AppError, invalidInput } from '../core/errors.ts';
import { withWaste } from '../core/figure/waste.ts';
import type { KnownClays } from '../core/find/known-clays.ts';
import { once, type WorkSteps } from '../core/find/work-steps.ts';
import { coloursAsked } from './aim.ts';
import type { BuyingListQuestion } from './buying-list-question.ts';
import { type ColoursToBuy, coloursOfPlan } from './colours-of-plan.ts';
import { plannedFigure } from './figure.ts';

/**
 * The colours of a buying list: those asked for by themselves, and those of a figure that are not mixed yet.
 * Refuses: none at all, or none that can be read -> invalid-input
 */
export function* coloursToBuy(
  clays: KnownClays,
  question: BuyingListQuestion,
): WorkSteps<ColoursToBuy> {
  const { aims, palette, plan, grams, waste, stock } = question;
  if (palette !== undefined) throw ofBook(palette, 'palette');
  if (plan?.figure !== undefined) throw ofBook(plan.figure, 'figure');
  if (aims.length === 0 && plan === undefined) {
    throw invalidInput(
      'No colour is wanted.',
      'Name colours, or a palette or figure of your book.',
    );
  }
  const { colours: readable, refused } = coloursAsked(question, clays);
  const named = readable.map(({ lab, called }) => ({
    lab,
    colour: called,
    grams,
    mixedG: withWaste(grams, waste),
  }));
  const ofPlan = (asked: NonNullable<typeof plan>): ColoursToBuy => {
    try {
      return coloursOfPlan(
        plannedFigure(clays, { ...asked, ...(stock === undefined ? {} : { stock }) }),
      );
    } catch (fault) {
      const isAlone = named.length === 0;
      if (isAlone || !(fault instanceof AppError) || fault.kind !== 'bad-input') throw fault;
      return { colours: [], notes: [`${fault.detail} ${fault.hint}`] };
    }
  };
  const planned =
    plan === undefined
      ? { colours: [], notes: [] }
      : yield* once('planning the figure', () => ofPlan(plan));
  const colours = [...named, ...planned.colours];
  if (colours.length === 0 && refused.length > 0) {
    throw invalidInput([...refused, ...planned.notes].join(' '), 'Correct the colours.');
  }
  return { colours, notes: [...refused, ...planned.notes] };
}

function ofBook(name: string, kind: 'palette' | 'figure'): AppError {
  return invalidInput(
    `"${name.slice(0, 80)}" is a ${kind} of a book, and no book is asked here.`,
    'Ask the clays of your book instead of a clay file.',
  );
}
