import { z } from 'zod';
import { type ClayModel, modelFromFit } from '../core/clay/clay-model.ts';
import { explainTiles } from '../core/clay/explain/explain.ts';
import { settle } from '../core/clay/explain/settle.ts';
import { fitClays } from '../core/clay/fit.ts';
import type { Fit } from '../core/clay/fit-result.ts';
import { leftOutTiles } from '../core/clay/left-out.ts';
import { learnReport } from '../core/clay/report.ts';
import { PRIOR_HASH, shippedPrior } from '../core/clay/shipped-prior.ts';
import type { TileReading } from '../core/clay/tile-reading.ts';
import { once, type WorkSteps } from '../core/find/work-steps.ts';
import { canonicalJson, sha256Of } from '../domain/canonical-json.ts';
import { clayFileSchema } from '../domain/clay-file.ts';
import { clayFileFromModel } from '../domain/clay-file-codec.ts';
import { explanationsInWords } from '../domain/faults-in-words.ts';
import { hashOfReading } from '../domain/hash-of-reading.ts';
import { countsByKind, reportByKind } from '../domain/readings-by-kind.ts';
import type { Reading } from '../domain/records/reading.ts';
import { labAnswer } from './answer-parts.ts';
import { changesSince, checkComparable, contradictingIn, type OlderClay } from './changes-since.ts';
import { basisOfRows } from './question-parts.ts';
import { tilesFromReadings } from './tiles-from-readings.ts';
import { verb, words } from './verb.ts';

/** What readings that do not state their gloss are taken to hold. */
export const gloss = z
  .enum(['included', 'excluded'])
  .exactOptional()
  .meta(
    words({
      option: 'gloss',
      value: 'GLOSS',
      help: 'whether measured readings include the gloss, where their row does not state it (column geometry)',
    }),
  );

export const learnQuestion = z.strictObject({ basis: basisOfRows, gloss });
export type LearnQuestion = z.output<typeof learnQuestion>;

/** Readings of one source: a file, or the book. */
export interface ReadingsSource {
  readonly name: string;
  /** Of its bytes; two sources with the same hash are one. */
  readonly sha256: string;
  readonly readings: readonly Reading[];
  readonly notes: readonly string[];
}

/** Readings at hand as a source; its hash is that of the readings themselves. */
export function sourceFrom(
  name: string,
  readings: readonly Reading[],
  notes: readonly string[] = [],
): ReadingsSource {
  return { name, sha256: sha256Of(canonicalJson(readings)), readings, notes };
}

/** What is learned from. */
export interface LearnSubject {
  readonly sources: readonly ReadingsSource[];
  /** An older model to compare with; it takes no part in the learning. */
  readonly since?: OlderClay;
  /** Program and version, written into the clay file. */
  readonly madeWith: string;
}

const movedRecipe = z.object({
  of: z.string(),
  before: labAnswer,
  after: labAnswer,
  dE00: z.number(),
  plusMinus: z.object({ before: z.number(), after: z.number() }).readonly(),
  surprise: z.number(),
});

const learnAnswer = z.object({
  file: clayFileSchema,
  leftAside: z.array(
    z.object({ tile: z.string(), file: z.string(), line: z.number(), why: z.string() }),
  ),
  notes: z.array(z.string()),
  /** Where an older model was given. */
  changes: z
    .object({
      since: z.string(),
      added: z.array(z.string()).readonly(),
      gone: z.array(z.string()).readonly(),
      moved: z.array(movedRecipe).readonly(),
      surprising: z.array(movedRecipe).readonly(),
      surer: z.array(movedRecipe).readonly(),
      lessSure: z.array(movedRecipe).readonly(),
      awayFromTile: z
        .array(z.object({ tile: z.string(), before: z.number(), after: z.number() }))
        .readonly(),
      contradicting: z.array(z.object({ tile: z.string(), sentence: z.string() })).readonly(),
    })
    .exactOptional(),
});
export type LearnAnswer = z.output<typeof learnAnswer>;

/**
 * How a set of clays mixes, from readings of their tiles.
 * Refuses: as `tilesFromReadings` and `checkComparable` do
 * Holds:   the same readings give the same clay file
 */
export const learn = verb({
  name: 'learn',
  asks: 'How do these clays mix?',
  question: learnQuestion,
  answer: learnAnswer,
  *run(subject: LearnSubject, { basis, gloss }: LearnQuestion): WorkSteps<LearnAnswer> {
    const { since, madeWith } = subject;
    const { sources, notes } = distinct(subject.sources);
    const set = tilesFromReadings(
      sources.flatMap(({ readings }) => readings),
      basis,
    );
    notes.push(...set.notes);
    if (since !== undefined) checkComparable(since, set);
    const prior = shippedPrior();
    const tiles = withGloss(set.tiles, gloss);
    const fit = yield* once(`learning from ${tiles.length} readings`, () => fitClays(tiles, prior));
    if (!fit.converged) {
      notes.push(
        'The fit had not fully settled when it was stopped; what it says is its best so far.',
      );
    }
    const asRead = yield* once('predicting every tile from the others', () => leftOutTiles(fit));
    const weighing = explainTiles(tiles, fit, asRead);
    yield { what: 'looking for wrong tiles', run: weighing };
    return yield* once('writing down what was learned', () => {
      const hashes = set.learnedFrom.map(hashOfReading);
      const settled = settle(fit, asRead, weighing.explanations());
      const { leftOut } = settled;
      const explanations = explanationsInWords(settled.explanations, tiles, hashes);
      const model = modelFromFit(settled.fit, leftOut, settled.alternatives);
      notes.push(...doubtsOf(model, settled.fit));
      const clays = model.clays.map(({ name }) => name);
      const counts = countsByKind(set.learnedFrom, clays);
      const report = reportByKind(
        learnReport(settled.fit, leftOut, model),
        model,
        set.learnedFrom,
        counts,
      );
      const file = clayFileFromModel(model, {
        madeWith,
        basis: set.basis,
        priorHash: PRIOR_HASH,
        readings: {
          files: sources.map(({ name, sha256, readings }) => ({
            name,
            sha256,
            readings: readings.length,
          })),
          hashes,
        },
        report,
        counts,
        explanations,
      });
      const changes =
        since === undefined
          ? {}
          : { changes: changesSince(since, model, set, contradictingIn(file)) };
      return { file, leftAside: [...set.leftAside], notes, ...changes };
    });
  },
});

/** Misses from which a wider ± is worth a sentence, and from which nothing can be relied on. */
const MISSES_NOTED = 1.25;
const MISSES_HOPELESS = 3;

/** What to know of a model before its ± is trusted. */
function doubtsOf({ missFactor }: ClayModel, { glossSnapped, set }: Fit): string[] {
  const notes: string[] = [];
  if (glossSnapped !== undefined) {
    notes.push(
      `Some readings do not state whether they include the gloss. These tiles fit best if they ${glossSnapped === 'included' ? 'include' : 'exclude'} the gloss. If you know it, write it in the column geometry.`,
    );
  } else if (set.tiles.some((tile) => tile.glossLearned)) {
    notes.push(
      'Some readings do not state whether they include the gloss, and these tiles do not show it. If you know it, write it in the column geometry.',
    );
  }
  const times = missFactor.toFixed(1);
  if (missFactor >= MISSES_HOPELESS) {
    notes.push(
      `These tiles do not fit together: their errors are ${times} times what their readings allow, so no prediction is certain. Check recipes, units and the order of the rows.`,
    );
  } else if (missFactor >= MISSES_NOTED) {
    notes.push(
      `The tiles differ from their predictions ${times} times more than their readings allow, so every ± is ${times} times wider.`,
    );
  }
  return notes;
}

/** Tiles with the gloss stated for all, where their reading does not state its own. */
function withGloss(tiles: readonly TileReading[], gloss: LearnQuestion['gloss']) {
  return tiles.map((tile) =>
    gloss === undefined || tile.geometry !== 'unstated' ? tile : { ...tile, geometry: gloss },
  );
}

/** Sources that hold the same are learned from once. */
function distinct(all: readonly ReadingsSource[]) {
  const sources: ReadingsSource[] = [];
  const notes: string[] = [];
  for (const source of all) {
    const twin = sources.find(({ sha256 }) => sha256 === source.sha256);
    if (twin === undefined) {
      sources.push(source);
      notes.push(...source.notes);
    } else notes.push(`${source.name} holds the same as ${twin.name}, and is learned from once.`);
  }
  return { sources, notes };
}
