import { modelFromFit } from '../core/clay/clay-model.ts';
import { fitClays } from '../core/clay/fit.ts';
import { learnReport } from '../core/clay/report.ts';
import { PRIOR_HASH, shippedPrior } from '../core/clay/shipped-prior.ts';
import { AppError } from '../core/errors.ts';
import type { Basis } from '../core/mixes/mix-graph.ts';
import { canonicalJson, sha256Of } from '../domain/canonical-json.ts';
import type { ClayFile } from '../domain/clay-file.ts';
import { CLAY_FORMAT } from '../domain/clay-file.ts';
import { bytesFromClayFile, clayFileFromModel } from '../domain/clay-file-codec.ts';
import { READING_DEFAULTS, type Reading } from '../domain/reading.ts';
import { countsByKind, reportByKind } from '../domain/readings-by-kind.ts';
import { type Changes, changesSince, checkComparable, olderClay } from './changes-since.ts';
import type { Ports } from './ports.ts';
import { type LeftAside, tilesFromReadings } from './tiles-from-readings.ts';

export interface LearnCall {
  /** Paths of files of readings, at least one. */
  readonly readings: readonly string[];
  /** Path of the clay file to write. */
  readonly out: string;
  /** What parts count where a row says nothing; by volume when absent. */
  readonly basis?: Basis;
  /** Path of an older clay file to compare with; it takes no part in the learning. */
  readonly since?: string;
}

export interface Learned {
  readonly file: ClayFile;
  readonly leftAside: readonly LeftAside[];
  readonly notes: readonly string[];
  readonly learnMs: number;
  /** Where an older clay file was given. */
  readonly changes?: Changes;
}

/**
 * Learns how a set of clays mixes from files of readings, and writes the clay file.
 * Refuses: as reading a file, `tilesFromReadings`, `olderClay` and `checkComparable` do; an output that is one of the readings or
 *          another kind of file -> out-not-free (conflict). Nothing is written then
 * Holds:   the same readings give the same bytes
 */
export async function learn(ports: Ports, call: LearnCall): Promise<Learned> {
  await checkOut(ports, call);
  const older = call.since === undefined ? undefined : await olderClay(ports, call.since);
  const fallback = call.basis ?? READING_DEFAULTS.basis;
  const files: ClayFile['readings']['files'][number][] = [];
  const readings: Reading[] = [];
  const notes: string[] = [];
  for (const path of call.readings) {
    const bytes = await ports.files.read(path);
    const sha256 = sha256Of(bytes);
    const twin = files.find((file) => file.sha256 === sha256);
    if (twin !== undefined) {
      notes.push(`${path} holds the same as ${twin.name}, and is learned from once.`);
      continue;
    }
    const read = ports.readers.readings(bytes, path, fallback);
    files.push({ name: path, sha256, readings: read.readings.length });
    for (const reading of read.readings) readings.push(reading);
    notes.push(...read.notes);
  }
  const set = tilesFromReadings(readings, fallback);
  notes.push(...set.notes);
  if (older !== undefined) checkComparable(older, set);
  ports.progress({ what: `learning from ${set.tiles.length} readings` });
  await ports.breathe();
  const started = ports.nowMs();
  const fit = fitClays(set.tiles, shippedPrior());
  ports.progress({ what: 'predicting every tile from the others' });
  await ports.breathe();
  const model = modelFromFit(fit);
  const counts = countsByKind(
    set.learnedFrom,
    model.clays.map(({ name }) => name),
  );
  const report = reportByKind(learnReport(fit), model, set.learnedFrom, counts);
  const learnMs = ports.nowMs() - started;
  if (!fit.converged) {
    notes.push(
      'The fit had not fully settled when it was stopped; what it says is its best so far.',
    );
  }
  const changes =
    older === undefined ? undefined : changesSince(older, model, set, report.outlying);
  const file = clayFileFromModel(model, {
    madeWith: ports.madeWith,
    basis: set.basis,
    priorHash: PRIOR_HASH,
    readings: { files, hashes: set.learnedFrom.map(hashOf) },
    report,
    counts,
  });
  await ports.files.write(call.out, bytesFromClayFile(file));
  return {
    file,
    leftAside: set.leftAside,
    notes,
    learnMs,
    ...(changes === undefined ? {} : { changes }),
  };
}

/** A reading is the same wherever it stands, so its place is not part of its hash. */
function hashOf({ place: _place, ...reading }: Reading): string {
  return sha256Of(canonicalJson(reading));
}

/** A slip in the order of names must not cost her the readings, which cannot be made again. */
async function checkOut({ files }: Ports, { readings, out }: LearnCall): Promise<void> {
  const target = await files.look(out);
  for (const path of readings) {
    const { identity } = await files.look(path);
    if (identity === target.identity && target.kind === 'file') {
      throw notFree(out, 'is one of the readings');
    }
  }
  if (target.kind !== 'file') return;
  const before = await files.read(out);
  const head = new TextDecoder().decode(before.subarray(0, 200));
  if (before.length > 0 && !head.includes(`"${CLAY_FORMAT}"`)) {
    throw notFree(out, 'is there already and is no clay model');
  }
}

function notFree(out: string, why: string): AppError {
  return new AppError({
    code: 'out-not-free',
    kind: 'conflict',
    detail: `${out} ${why}; it would be lost.`,
    hint: 'Give --out another name.',
  });
}
