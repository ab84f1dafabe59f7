import type { ClayModel } from '../../core/clay/clay-model.ts';
import { openModel } from '../../core/clay/predict.ts';
import { PRIOR_HASH, shippedPrior } from '../../core/clay/shipped-prior.ts';
import { BANDS } from '../../core/colour/grid.ts';
import { HOUSE_VIEWING } from '../../core/colour/house-viewing.ts';
import { predictViewed } from '../../core/find/predicted-mix.ts';
import type { Basis } from '../../core/mixes/mix-graph.ts';
import { clayKey } from '../../core/notation/clay-name.ts';
import { itemAt } from '../../core/numeric/pairs.ts';
import { joinShared } from '../../core/share/join-shared.ts';
import { modelOfShared } from '../../core/share/model-of-shared.ts';
import { type SharedClays, sharedClays } from '../../core/share/shared-clays.ts';
import { type Anchor, sharedInFrame } from '../../core/share/shared-in-frame.ts';
import type { ClayFile } from '../../domain/clay-file.ts';
import {
  bytesFromClayFile,
  type ClayFields,
  clayFileFromModel,
} from '../../domain/clay-file-codec.ts';
import { BOOK_LIMITS } from '../../domain/records/limits.ts';
import type { BodyOf } from '../../domain/records/record.ts';
import type { CurvesTaken } from '../../domain/share/curves-in-words.ts';
import { claysOfCurves } from '../../domain/share/share-curves.ts';
import type { ShareFile } from '../../domain/share/share-file.ts';
import { openClay } from '../../verbs/open-clay.ts';

/** A clay model of the book, with its bytes. */
export interface ModelInUse {
  readonly record: { readonly body: Omit<BodyOf<'clay-model'>, 'sha256' | 'bytes'> };
  readonly bytes: Uint8Array;
}

/** The clay model of the book with the shared clays behind its own; no file where they cannot be joined. */
export interface JoinedModel {
  readonly curves: CurvesTaken;
  readonly bytes?: Uint8Array;
  readonly body?: Omit<BodyOf<'clay-model'>, 'sha256' | 'bytes'>;
}

/** Clays of another book, with the blocks they are in this one. */
interface Theirs {
  readonly shared: SharedClays;
  readonly basis: Basis;
  /** By clay. */
  readonly blockOf: readonly string[];
  /** What each may be called, the first that is free. */
  readonly namesOf: (clay: number) => readonly string[];
}

/** What becomes of the curves of a share file, from the records alone: nothing is opened or joined. */
export function curvesTaken(
  { curves }: Pick<ShareFile, 'curves'>,
  blockIds: readonly string[],
  inUse: Pick<ModelInUse, 'record'> | undefined,
): CurvesTaken {
  if (curves === undefined) return 'none';
  if (inUse === undefined) return 'alone';
  const blockOf = curves.clays.map(({ clay }) => itemAt(blockIds, clay));
  return tieTo(inUse, { basis: curves.basis ?? 'volume', blockOf });
}

/** How the clays of others are tied to a clay model: through the blocks that are in both. */
function tieTo(
  { record: { body } }: Pick<ModelInUse, 'record'>,
  { basis, blockOf }: Pick<Theirs, 'basis' | 'blockOf'>,
): Extract<CurvesTaken, 'joined' | 'no-anchor' | 'other-basis' | 'none'> {
  if (body.basis !== basis) return 'other-basis';
  const own = new Set(body.clays.flatMap(({ blockId }) => blockId ?? []));
  const anchors = blockOf.filter((id) => own.has(id)).length;
  if (anchors === 0) return 'no-anchor';
  return anchors === blockOf.length ? 'none' : 'joined';
}

/**
 * How the clays of a share file come into the clay model of a book. Two books count absorption and scattering
 * by their own whites, so that a clay which both have learned must say how the two compare; a book that has
 * learned nothing takes the other's model as it is.
 * Shape:   `blockIds`: the block that each clay of the file is
 */
export function joinModel(
  file: ShareFile,
  blockIds: readonly string[],
  inUse: ModelInUse | undefined,
): JoinedModel {
  const { curves, clays, lines, author, madeWith, seal } = file;
  if (curves === undefined) return { curves: 'none' };
  const placed = curves.clays.map(({ clay }) => clays[clay]);
  const theirs: Theirs = {
    shared: claysOfCurves(
      curves,
      clays.map(({ name }) => name),
    ),
    basis: curves.basis ?? 'volume',
    blockOf: curves.clays.map(({ clay }) => blockIds[clay]),
    namesOf(clay) {
      const { name, line } = placed[clay];
      const of = line === undefined ? author : lines[line].name;
      return [name, `${of} ${name}`, `${name} of ${author}`];
    },
  };
  if (inUse !== undefined) return joinedTo(inUse, theirs);
  const prior = shippedPrior();
  const framed = sharedInFrame(theirs.shared, prior, new Float64Array(BANDS));
  const names = freeNames(theirs, []);
  const model = asShared(modelOfShared(framed), names);
  const made = saved(model, {
    madeWith,
    basis: theirs.basis,
    readings: { files: [], hashes: [seal] },
    report: NOTHING_LEARNED,
    counts: model.clays.map(() => ({ borrowed: 1 })),
  });
  const { basis, blockOf } = theirs;
  return {
    curves: 'alone',
    ...made,
    body: {
      name: `Clays of ${author}`.slice(0, BOOK_LIMITS.name),
      basis,
      clays: names.map((name, i) => ({ name, blockId: blockOf[i] })),
      learnedFrom: [],
    },
  };
}

/** Clays of others that an earlier model held, behind those that were learned since; undefined where there are none. */
export function joinEarlier(before: ModelInUse, now: ModelInUse): JoinedModel | undefined {
  const earlier = openClay(before.bytes, `clay model ${before.record.body.name}`);
  if (!earlier.file.clays.some(({ shared }) => shared === true)) return undefined;
  const blockOf = new Map(
    before.record.body.clays.map(({ name, blockId }) => [clayKey(name), blockId]),
  );
  const places = earlier.names.flatMap((name, i) =>
    blockOf.get(clayKey(name)) === undefined ? [] : [i],
  );
  return joinedTo(now, {
    shared: sharedClays(earlier.predictor, places),
    basis: earlier.basis,
    blockOf: places.map((i) => blockOf.get(clayKey(earlier.names[i]))!),
    namesOf: (clay) => [earlier.names[places[clay]], `${earlier.names[places[clay]]} of others`],
  });
}

function joinedTo({ record, bytes }: ModelInUse, theirs: Theirs): JoinedModel {
  const tie = tieTo({ record }, theirs);
  if (tie !== 'joined') return { curves: tie };
  const own = openClay(bytes, `clay model ${record.body.name}`);
  const ownBlocks = new Map(
    record.body.clays.flatMap(({ name, blockId }) => {
      const clay = own.indexOf.get(clayKey(name));
      return blockId === undefined || clay === undefined ? [] : [[blockId, clay] as const];
    }),
  );
  const [first, ...more] = theirs.blockOf.flatMap((blockId, clay): Anchor[] => {
    const there = ownBlocks.get(blockId);
    return there === undefined ? [] : [{ own: there, theirs: clay }];
  });
  // The record names a clay that its file does not hold.
  if (first === undefined) return { curves: 'no-anchor' };
  const { model, placeOf } = joinShared(own.predictor.model, theirs.shared, [first, ...more]);
  const names = freeNames(theirs, own.names);
  const known = own.names.length;
  const at = new Map(placeOf.map((place, i) => [place, i]));
  const added = model.clays.slice(known).map((_, i) => {
    const clay = at.get(known + i)!;
    return { name: names[clay], blockId: theirs.blockOf[clay] };
  });
  const named = model.clays.map((clay, i) => (i < known ? clay : { ...clay, ...added[i - known] }));
  const { madeWith, basis, readings, report, explanations, clays } = own.file;
  const made = saved(
    { ...model, clays: named.map(({ name }, i) => ({ ...model.clays[i], name })) },
    {
      madeWith,
      basis,
      readings,
      report,
      counts: named.map((_, i) => clays[i]?.readings ?? { borrowed: 1 }),
      ...(explanations === undefined ? {} : { explanations }),
    },
  );
  return {
    curves: 'joined',
    ...made,
    body: { ...record.body, clays: [...record.body.clays, ...added] },
  };
}

/** Names that no other clay of the model has. */
function freeNames({ shared, namesOf }: Theirs, own: readonly string[]): string[] {
  const taken = new Set(own.map(clayKey));
  return shared.clays.map((_, i) => {
    const ways = namesOf(i);
    const found = ways.find((way) => !taken.has(clayKey(way))) ?? `${ways[0]} (${i + 1})`;
    taken.add(clayKey(found));
    return found;
  });
}

function asShared(model: ClayModel, names: readonly string[]): ClayModel {
  return {
    ...model,
    clays: model.clays.map((clay, i) => ({ ...clay, name: names[i], shared: true as const })),
  };
}

/** A model as the file that keeps it; clays that no tile of one's own is behind get a row of the report. */
function saved(
  model: ClayModel,
  facts: Omit<ClayFields, 'priorHash'>,
): { readonly bytes: Uint8Array } {
  const predictor = openModel(model);
  const rows = model.clays.map(({ name, clayClass, effect }, i) => {
    const known = facts.report.clays.find((row) => row.name === name);
    if (known !== undefined) return known;
    const alone = predictViewed(predictor, [{ clay: i, share: 1 }], HOUSE_VIEWING);
    return {
      name,
      clayClass,
      tiles: 0,
      ownTiles: 0,
      expectedDE: alone.plusMinus,
      knownFrom: 'borrowed' as const,
      ...(effect === undefined ? {} : { effect: effect.effect }),
    };
  });
  const file = clayFileFromModel(model, {
    ...facts,
    priorHash: PRIOR_HASH,
    report: { ...facts.report, clays: rows },
  });
  return { bytes: bytesFromClayFile(file) };
}

/** The report of a model that no tile of one's own is behind. */
const NOTHING_LEARNED: ClayFile['report'] = {
  iterations: 0,
  converged: true,
  lastMove: 0,
  leaveOneOut: [],
  meanDE00: 0,
  medianDE00: 0,
  worstDE00: 0,
  apart: [],
  outlying: [],
  drifts: [],
  groups: [],
  clays: [],
};
