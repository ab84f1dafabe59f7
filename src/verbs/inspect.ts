import { z } from 'zod';
import { CLAY_CLASSES } from '../core/clay/clay-class.ts';
import { EFFECTS } from '../core/clay/effect-offset.ts';
import { colourName } from '../core/colour/colour-name.ts';
import { munsellFromLab } from '../core/colour/munsell.ts';
import { formatMunsell } from '../core/colour/munsell-notation.ts';
import { predictViewed } from '../core/find/predicted-mix.ts';
import { once, type WorkSteps } from '../core/find/work-steps.ts';
import { BASES } from '../core/mixes/mix-graph.ts';
import { adviceFor, MEANS, meansOf } from '../domain/advice.ts';
import { glossSchema, reportSchema } from '../domain/clay-file.ts';
import { explanationsSchema } from '../domain/explanation.ts';
import { knownFrom } from '../domain/readings-by-kind.ts';
import { KINDS } from '../domain/records/reading-kind.ts';
import { explanationsOf, labAnswer } from './answer-parts.ts';
import type { OpenClay } from './open-clay.ts';
import { viewing, viewingSchema } from './question-parts.ts';
import { verb } from './verb.ts';

export const inspectQuestion = z.strictObject({ viewing });
export type InspectQuestion = z.output<typeof inspectQuestion>;

export const inspectedClay = z.object({
  name: z.string(),
  clayClass: z.enum(CLAY_CLASSES),
  group: z.int(),
  tiles: z.int(),
  ownTiles: z.int(),
  /** Readings of each kind that hold it, and the surest of these kinds. */
  readings: z.partialRecord(z.enum(KINDS), z.int()).readonly(),
  knownFrom: z.enum(KINDS),
  effect: z.enum(EFFECTS).exactOptional(),
  /** Of the clay alone. */
  lab: labAnswer,
  /** Size of the ± of the clay alone, dE00. */
  plusMinus: z.number(),
  /** Mean ± of ordinary mixes that hold it, dE00. */
  expectedDE: z.number(),
  /** The next tile of it, and how to read that by the means at hand. */
  advice: z.string(),
  colourName: z.string(),
  munsell: z.string(),
  /** False where the notation is only the closest the renotation holds. */
  munsellHeld: z.boolean(),
  /** D50 and 2 degrees, for showing it. */
  shown: labAnswer,
});
export type InspectedClay = z.output<typeof inspectedClay>;

const inspectAnswer = z.object({
  madeWith: z.string(),
  basis: z.enum(BASES),
  geometry: glossSchema,
  viewing: viewingSchema,
  /** How the user reads tiles, as the readings show. */
  means: z.enum(MEANS),
  clays: z.array(inspectedClay),
  report: reportSchema,
  explanations: explanationsSchema.exactOptional(),
});
export type InspectAnswer = z.output<typeof inspectAnswer>;

/** What a clay model knows: its clays, how certain each is, and which tiles disagree. */
export const inspect = verb({
  name: 'inspect',
  asks: 'What does the model know, and how certain is it?',
  question: inspectQuestion,
  answer: inspectAnswer,
  *run(clay: OpenClay, question: InspectQuestion): WorkSteps<InspectAnswer> {
    const { madeWith, basis, geometry, report } = clay.file;
    return yield* once('looking at the clays', () => ({
      madeWith,
      basis,
      geometry,
      viewing: question.viewing,
      means: meansOf(clay.file.clays),
      clays: claysOf(clay, question),
      report,
      ...explanationsOf(clay),
    }));
  },
});

function claysOf(clay: OpenClay, { viewing }: InspectQuestion): InspectedClay[] {
  const means = meansOf(clay.file.clays);
  const sure = new Map(clay.file.report.clays.map((p) => [p.name, p.expectedDE]));
  return clay.file.clays.map((own, i) => {
    const { lab, plusMinus, shown } = predictViewed(
      clay.predictor,
      [{ clay: i, share: 1 }],
      viewing,
    );
    const munsell = munsellFromLab(shown);
    const { name, clayClass, group, tiles, ownTiles, readings, effect } = own;
    return {
      name,
      clayClass,
      group,
      tiles,
      ownTiles,
      readings,
      knownFrom: knownFrom(readings),
      ...(effect === undefined ? {} : { effect: effect.effect }),
      lab,
      plusMinus,
      expectedDE: sure.get(name) ?? plusMinus,
      advice: adviceFor({ tiles, ownTiles, knownFrom: knownFrom(readings), plusMinus }, means),
      colourName: colourName(shown).name,
      munsell: formatMunsell(munsell.held ? munsell.colour : munsell.nearest),
      munsellHeld: munsell.held,
      shown,
    };
  });
}
