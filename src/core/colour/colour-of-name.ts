import { labOfName } from './colour-name.ts';
import { coloursOfWord } from './everyday-colours.ts';
import type { Lab } from './triples.ts';

/** A colour known from words, with its standard deviation an axis, CIELAB units. */
export interface WordedColour {
  readonly lab: Lab;
  readonly spread: number;
}

/** Shorter words begin too many names of colours. */
const FEWEST_LETTERS = 3;
/** No word says a colour better than this, CIELAB units an axis. Judgement, no source. */
const LEAST_SPREAD = 10;

/**
 * The colour that the name of a clay says, as in "Dark green" or "Navy".
 * Returns: undefined where no word of it names a colour, or its words name no colour together
 * Holds:   the mean of the blocks of the ISCC-NBS system that all its words of colour can mean
 */
export function colourOfName(name: string): WordedColour | undefined {
  const meant = name
    .toLowerCase()
    .split(/[^a-z]+/)
    .filter((word) => word.length >= FEWEST_LETTERS)
    .flatMap((word) => coloursOfWord(word) ?? []);
  if (meant.length === 0) return undefined;
  const labs = [...meant[0].keys()]
    .filter((place) => meant.every((flags) => flags[place] === 1))
    .map(labOfName);
  if (labs.length === 0) return undefined;
  const mean = [0, 1, 2].map((axis) => labs.reduce((sum, lab) => sum + lab[axis], 0) / labs.length);
  const squares = labs.reduce(
    (sum, lab) => sum + lab.reduce((all, v, axis) => all + (v - mean[axis]) ** 2, 0),
    0,
  );
  const spread = Math.sqrt(squares / (3 * labs.length));
  return { lab: [mean[0], mean[1], mean[2]], spread: Math.max(LEAST_SPREAD, spread) };
}
