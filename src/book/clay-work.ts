import { bytesFromClayFile } from '../domain/clay-file-codec.ts';
import type { Reading } from '../domain/records/reading.ts';
import { type BakeSubject, bake } from '../verbs/bake.ts';
import { comparableClay, learnedSince, olderClay } from '../verbs/changes-since.ts';
import { type HoldSubject, hold } from '../verbs/hold.ts';
import { learn, type ReadingsSource } from '../verbs/learn.ts';
import { nearest } from '../verbs/nearest.ts';
import { openClay } from '../verbs/open-clay.ts';
import { type Asking, asked } from '../verbs/verb.ts';
import { CLAY_VERBS, type ClayVerbName, VERBS } from '../verbs/verbs.ts';
import { type ColourMix, type ColourSource, mixColours } from './mix-colours.ts';

/** A clay model as work takes it: its file, and what to call it. */
export interface ClayAtHand {
  readonly title: string;
  readonly bytes: Uint8Array;
}

/** Heavy work on what a book holds, whole in itself, so that any thread can do it. */
export type ClayWork =
  | { readonly verb: ClayVerbName; readonly clay: ClayAtHand; readonly question: unknown }
  | {
      readonly verb: 'learn';
      readonly source: ReadingsSource;
      readonly since?: ClayAtHand;
      /** Whether somebody named it; else it is compared with where that is possible. */
      readonly sinceIsNamed?: boolean;
      readonly question: unknown;
    }
  | {
      readonly verb: 'nearest';
      readonly readings: readonly Reading[];
      readonly question: unknown;
    }
  | { readonly verb: 'hold'; readonly from: HoldSubject; readonly question: unknown }
  | { readonly verb: 'bake'; readonly from: BakeSubject; readonly question: unknown }
  | ColourWork;

/** Colours alone of many mixes; the answer is `colours`, of `NamedColourRow`. */
export interface ColourWork {
  readonly verb: 'colours';
  readonly source: ColourSource<ClayAtHand>;
  readonly mixes: readonly ColourMix[];
}

export interface ClayWorkDone {
  /** Plain JSON. */
  readonly answer: Readonly<Record<string, unknown>>;
  /** Of what was learned. */
  readonly clayFile?: Uint8Array;
  /** A picture or a sheet that was made. */
  readonly bytes?: Uint8Array;
}

export interface WorkTools extends Asking {
  readonly madeWith: string;
}

/** Work that answers with the best so far when it is stopped. */
export function endsEarly({ verb }: { readonly verb: string }): boolean {
  return Object.values(VERBS).some(({ name, endsEarly }) => name === verb && endsEarly);
}

/** Does a piece of work with the verb that every shell has. Refuses: as the verbs do */
export async function doClayWork(work: ClayWork, tools: WorkTools): Promise<ClayWorkDone> {
  if (work.verb === 'learn') {
    const { source, since, sinceIsNamed = false } = work;
    const subject = { sources: [source], madeWith: tools.madeWith };
    const opened = sinceIsNamed ? olderClay : comparableClay;
    const older = since === undefined ? undefined : opened(since.bytes, since.title);
    const { answer, workMs } = await learnedSince(subject, older, sinceIsNamed, (compared) =>
      asked(learn.ask(compared, work.question), tools),
    );
    const { file, ...rest } = answer;
    const { basis, report, clays, readings } = file;
    return {
      answer: plainJson({
        ...rest,
        learnMs: workMs,
        basis,
        report,
        clays: clays.map(({ name }) => name),
        hashes: readings.hashes,
      }),
      clayFile: bytesFromClayFile(file),
    };
  }
  if (work.verb === 'nearest') {
    const subject = { readings: work.readings, notes: [] };
    return { answer: plainJson((await asked(nearest.ask(subject, work.question), tools)).answer) };
  }
  if (work.verb === 'hold') {
    const { answer } = await asked(hold.ask(work.from, work.question), tools);
    return { answer: plainJson(answer) };
  }
  if (work.verb === 'bake') {
    return { answer: plainJson((await asked(bake.ask(work.from, work.question), tools)).answer) };
  }
  if (work.verb === 'colours') {
    return { answer: { colours: mixColours(work.source, work.mixes) } };
  }
  const { verb, question } = work;
  const clay = openClay(work.clay.bytes, work.clay.title);
  const { answer, workMs } = await asked<object>(CLAY_VERBS[verb].ask(clay, question), tools);
  return { answer: plainJson(verb === 'find' ? { ...answer, searchMs: workMs } : answer) };
}

/** As JSON has it: rows of numbers as lists, nothing absent. */
export function plainJson(value: object): Record<string, unknown> {
  return JSON.parse(
    JSON.stringify(value, (_, part) => (part instanceof Float64Array ? Array.from(part) : part)),
  );
}
