import { everydayMixes, type MovedMix, modelChanges, type NamedMix } from '../core/clay/changes.ts';
import type { ClayModel } from '../core/clay/clay-model.ts';
import { roughLab } from '../core/clay/prepare.ts';
import { PRIOR_HASH, shippedPrior } from '../core/clay/shipped-prior.ts';
import { deltaE2000 } from '../core/colour/difference.ts';
import { AppError } from '../core/errors.ts';
import { clayKey, formatRecipe } from '../core/notation/notation.ts';
import { pairs } from '../core/numeric/pairs.ts';
import { verdictLimit } from '../core/verdict/verdict.ts';
import type { ClayFile } from '../domain/clay-file.ts';
import { clayFileFromBytes } from '../domain/clay-file-codec.ts';
import { modelFromClayFile } from '../domain/clay-file-model.ts';
import type { TilesRead } from './tiles-from-readings.ts';

/** An older clay model to compare with. */
export interface OlderClay {
  readonly title: string;
  readonly file: ClayFile;
  readonly model: ClayModel;
}

export interface MovedRecipe extends Omit<MovedMix, 'mix'> {
  /** In words, as in "1 Kelp + 3 Foam". */
  readonly of: string;
}

/** A tile, and how far its prediction was from its reading before and is now, dE00. */
export interface AwayFromTile {
  readonly tile: string;
  readonly before: number;
  readonly after: number;
}

/** What learning changed against an older clay file. */
export interface ChangesFound {
  readonly since: string;
  /** Clays the older file does not know, and those that are no longer there. */
  readonly added: readonly string[];
  readonly gone: readonly string[];
  /** Every clay alone and at 1:3 with white, and every recipe read; the most surprising first. */
  readonly moved: readonly MovedRecipe[];
  /** Those of `moved` that moved more than their ± of then allows. */
  readonly surprising: readonly MovedRecipe[];
  /** Those whose ± is clearly smaller now, and clearly larger. */
  readonly surer: readonly MovedRecipe[];
  readonly lessSure: readonly MovedRecipe[];
  /** Tiles whose prediction moved away from their own reading, to further off than a match. */
  readonly awayFromTile: readonly AwayFromTile[];
  /** Tiles that contradict the others now and did not then. */
  readonly contradicting: readonly { readonly tile: string; readonly sentence: string }[];
}

/**
 * The bytes of an older clay file, opened for comparing.
 * Refuses: as `clayFileFromBytes` does; a file learned with other expectations ->
 *          clay-file-prior (conflict)
 */
export function olderClay(bytes: Uint8Array, title: string): OlderClay {
  const file = clayFileFromBytes(bytes, title);
  if (file.priorHash !== PRIOR_HASH) {
    throw new AppError({
      code: 'clay-file-prior',
      kind: 'conflict',
      detail: `${title} was learned by ${file.madeWith}, which expected other things of clay than this one does, so what changed is not known.`,
      hint: 'Learn the readings of then again and compare with that, or leave --since out.',
    });
  }
  return { title, file, model: modelFromClayFile(file, title, shippedPrior(), PRIOR_HASH) };
}

/** The same where no comparison was asked for: undefined where the two cannot be compared. */
export function comparableClay(bytes: Uint8Array, title: string): OlderClay | undefined {
  try {
    return olderClay(bytes, title);
  } catch (fault) {
    if (fault instanceof AppError) return undefined;
    throw fault;
  }
}

/**
 * Learns with an older model to compare with. A model that was not named, and that counts parts the other way,
 * is left out.
 */
export async function learnedSince<S extends object, T>(
  subject: S,
  older: OlderClay | undefined,
  isNamed: boolean,
  learning: (subject: S & { readonly since?: OlderClay }) => Promise<T>,
): Promise<T> {
  if (older === undefined) return learning(subject);
  try {
    return await learning({ ...subject, since: older });
  } catch (fault) {
    if (isNamed || !(fault instanceof AppError) || fault.code !== 'basis-differs') throw fault;
    return learning(subject);
  }
}

/**
 * Whether parts mean one thing in both.
 * Refuses: mixes by volume in one and by weight in the other -> basis-differs (bad-input)
 */
export function checkComparable({ title, file, model }: OlderClay, set: TilesRead): void {
  const mixes = set.tiles.some(({ parts }) => parts.length > 1) && model.combinations.length > 0;
  if (file.basis === set.basis || !mixes) return;
  throw new AppError({
    code: 'basis-differs',
    kind: 'bad-input',
    detail: `${title} was learned by ${file.basis}, and these readings count parts by ${set.basis}, so the two cannot be compared.`,
    hint: `Give --since a clay file learned by ${set.basis}, or leave it out.`,
  });
}

/**
 * What learning changed. Nothing of the older file is learned from.
 * Holds: names of clays are one where they differ in capitals or spaces, as everywhere
 */
export function changesSince(
  older: OlderClay,
  model: ClayModel,
  set: TilesRead,
  contradicting: readonly { readonly tile: string; readonly sentence: string }[],
): ChangesFound {
  const spelling = new Map(model.clays.map(({ name }) => [clayKey(name), name]));
  const before = {
    ...older.model,
    clays: older.model.clays.map((clay) => ({
      ...clay,
      name: spelling.get(clayKey(clay.name)) ?? clay.name,
    })),
  };
  const words = wordsOfMixes(model, set);
  const withWords = ({ mix, ...move }: MovedMix): MovedRecipe => ({ of: words.get(mix)!, ...move });
  const mixes = [...words.keys()];
  const { moved, surprising, surer, lessSure, added, gone } = modelChanges(before, model, mixes);
  const then = new Set([...contradictingIn(older.file)].map(({ tile }) => clayKey(tile)));
  return {
    since: older.title,
    added,
    gone,
    moved: moved.map(withWords),
    surprising: surprising.map(withWords),
    surer: surer.map(withWords),
    lessSure: lessSure.map(withWords),
    awayFromTile: awayFromTiles(moved, set),
    contradicting: contradicting
      .filter(({ tile }) => !then.has(clayKey(tile)))
      .map(({ tile, sentence }) => ({ tile, sentence })),
  };
}

/** Tiles that contradict the others: those that disagree, and those that the explanations are about. */
export function contradictingIn({
  report,
  explanations = [],
}: Pick<ClayFile, 'report' | 'explanations'>): readonly {
  readonly tile: string;
  readonly sentence: string;
}[] {
  const named = explanations
    .slice(0, 1)
    .flatMap(({ tiles, sentence }) => tiles.map((tile) => ({ tile, sentence })));
  return [...report.outlying, ...named];
}

/** The largest difference that is a match. */
const MATCH = verdictLimit('match');

/** A reading that may itself be off by more than a match says nothing of a prediction. */
function awayFromTiles(moved: readonly MovedMix[], set: TilesRead): AwayFromTile[] {
  const byMix = new Map(moved.map((move) => [mixKey(move.mix), move]));
  return set.tiles
    .flatMap(({ tile, parts, spread, film, ...reading }): AwayFromTile[] => {
      const move = byMix.get(mixKey(parts));
      if (move === undefined || film !== undefined || spread > MATCH) return [];
      const read = roughLab({ tile, parts, spread, ...reading });
      const before = deltaE2000(move.before, read);
      const after = deltaE2000(move.after, read);
      return after > MATCH && after > before + NOTICED ? [{ tile, before, after }] : [];
    })
    .sort((a, b) => b.after - b.before - (a.after - a.before));
}

/** A move of less is no news. */
const NOTICED = 0.5;

function mixKey(mix: NamedMix): string {
  return mix
    .map(({ clay, share }) => `${share.toPrecision(6)} ${clay}`)
    .sort()
    .join('\n');
}

/** Mixes to compare by, each once: the user's own wording of a recipe comes before ours. */
function wordsOfMixes(model: ClayModel, set: TilesRead): Map<NamedMix, string> {
  const words = new Map<NamedMix, string>();
  const seen = new Set<string>();
  const add = (mix: NamedMix, of: string) => {
    const key = mixKey(mix);
    if (seen.has(key)) return;
    seen.add(key);
    words.set(mix, of);
  };
  for (const [{ parts }, { of }] of pairs(set.tiles, set.learnedFrom)) {
    const alone = parts.map(({ clay }) => ({ clay, parts: 1 }));
    add(parts, formatRecipe(parts.length === 1 ? alone : of));
  }
  for (const mix of everydayMixes(model)) {
    const least = Math.min(...mix.map(({ share }) => share));
    add(mix, formatRecipe(mix.map(({ clay, share }) => ({ clay, parts: share / least }))));
  }
  return words;
}
