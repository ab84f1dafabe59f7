import type { Lab } from '../core/colour/triples.ts';
import type { FigureAnswer } from './figure.ts';

/** A colour that a buying list is for. */
interface ColourToBuy {
  readonly lab: Lab;
  readonly colour: string;
  /** As they are asked for, and with what is lost. */
  readonly grams: number;
  readonly mixedG: number;
}

export interface ColoursToBuy {
  readonly colours: readonly ColourToBuy[];
  /** What was left out, and why. */
  readonly notes: readonly string[];
}

/** The colours of a planned figure that are still to be mixed, with the grams of all its shapes. */
export function coloursOfPlan({
  colours,
  leftOut,
}: Pick<FigureAnswer, 'colours' | 'leftOut'>): ColoursToBuy {
  const open = colours.filter(({ isMixed }) => !isMixed);
  const unknown = open.flatMap(({ colour, lab }) => (lab === undefined ? [colour] : []));
  return {
    colours: open.flatMap(({ colour, lab, grams }) =>
      lab === undefined ? [] : [{ lab, colour, grams, mixedG: grams }],
    ),
    notes: [
      ...(open.length === 0 ? ['Every colour of this figure is mixed already.'] : []),
      ...unknown.map(
        (colour) =>
          `${colour} is left out: the colour of one of its clays is not known. Bake a tile of that clay.`,
      ),
      ...leftOut.map(({ shape, sentence }) => `Left out: ${shape}: ${sentence}`),
    ],
  };
}
