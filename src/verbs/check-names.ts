import { z } from 'zod';
import { HOUSE_VIEWING } from '../core/colour/house-viewing.ts';
import type { KnownClays } from '../core/find/known-clays.ts';
import { predictViewed } from '../core/find/predicted-mix.ts';
import { once, type WorkSteps } from '../core/find/work-steps.ts';
import { clayKey, sharesOf } from '../core/notation/notation.ts';
import { type UncertainColour, weighNames } from '../core/photo/weigh-names.ts';
import { labAnswer } from './answer-parts.ts';
import { checkBasis } from './open-clay.ts';
import { basis, tileRead } from './question-parts.ts';
import { verb, words } from './verb.ts';

export const checkNamesQuestion = z.strictObject({
  tiles: z
    .array(tileRead.partial({ recipe: true }).readonly())
    .min(1)
    .max(300)
    .readonly()
    .meta(
      words({
        help: 'tiles in the order of their tray, each with its colour (D50 and 2 degrees) and what its name stands for',
        file: {
          option: 'readings',
          holds: 'tiles',
          help: 'a file of readings of baked tiles, in the order of the tray',
        },
      }),
    ),
  basis,
});
export type CheckNamesQuestion = z.output<typeof checkNamesQuestion>;

const checkedTile = z.object({
  tile: z.string(),
  /** As read. */
  lab: labAnswer,
  /** Of its recipe; null where it has none, or the clays are not known. */
  predicted: z
    .object({
      lab: labAnswer,
      /** Size of the ±, dE00. */
      plusMinus: z.number(),
      /** From the colour read. */
      dE00: z.number(),
      /** How often the ± of both alone would bring a step so large, 0-1. */
      chance: z.number(),
      isDoubtful: z.boolean(),
    })
    .nullable(),
});
export type CheckedTile = z.output<typeof checkedTile>;

const place = z.int().min(0);
const checkNamesAnswer = z.object({
  tiles: z.array(checkedTile),
  /** Another order of the names that fits the colours clearly better; places count from 0. */
  better: z
    .discriminatedUnion('kind', [
      z.object({ kind: z.literal('shift'), from: place, by: z.literal([1, -1]) }),
      z.object({ kind: z.literal('exchange'), one: place, other: place }),
    ])
    .nullable(),
});
export type CheckNamesAnswer = z.output<typeof checkNamesAnswer>;

/** Whether tiles of a tray have the colours that their names stand for, or the names fit better in another order. */
export const checkNames = verb({
  name: 'check-names',
  asks: 'Is each name beside the right tile?',
  question: checkNamesQuestion,
  answer: checkNamesAnswer,
  *run(clays: KnownClays, question: CheckNamesQuestion): WorkSteps<CheckNamesAnswer> {
    return yield* once('comparing names with colours', () => {
      const predicted = question.tiles.map(({ recipe }) => predictedOf(clays, recipe, question));
      const { misses, better } = weighNames(
        question.tiles.map(({ lab, spread }, i) => ({
          read: { lab, covariance: diagonal(spread ** 2) },
          ...named(predicted[i]),
        })),
      );
      return {
        tiles: question.tiles.map(({ tile, lab }, i) => {
          const [known, miss] = [predicted[i], misses[i]];
          return {
            tile: tile ?? String(i + 1),
            lab,
            predicted:
              known === undefined || miss === undefined
                ? null
                : { lab: known.lab, plusMinus: known.plusMinus, ...miss },
          };
        }),
        better: better ?? null,
      };
    });
  },
});

function predictedOf(
  clays: KnownClays,
  recipe: CheckNamesQuestion['tiles'][number]['recipe'],
  question: CheckNamesQuestion,
) {
  if (recipe === undefined) return undefined;
  const shares = sharesOf(recipe).map(({ clay, share }) => ({
    clay: clays.indexOf.get(clayKey(clay)),
    share,
  }));
  const known = shares.flatMap(({ clay, share }) => (clay === undefined ? [] : [{ clay, share }]));
  if (known.length < shares.length) return undefined;
  checkBasis(clays, question.basis, shares.length, '');
  return predictViewed(clays.predictor, known, HOUSE_VIEWING);
}

function named(predicted: UncertainColour | undefined) {
  return predicted === undefined ? {} : { named: predicted };
}

function diagonal(v: number): number[] {
  return [v, 0, 0, 0, v, 0, 0, 0, v];
}
