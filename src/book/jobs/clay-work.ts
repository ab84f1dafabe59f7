import { AppError } from '../../core/errors.ts';
import type { StockRow } from '../../core/find/known-clays.ts';
import type { Basis } from '../../core/mixes/mix-graph.ts';
import { canonicalJson } from '../../domain/canonical-json.ts';
import { bytesFromClayFile } from '../../domain/clay-file-codec.ts';
import type { Reading } from '../../domain/reading.ts';
import { type FindCall, find } from '../../verbs/find.ts';
import { type InspectCall, inspect } from '../../verbs/inspect.ts';
import { learn } from '../../verbs/learn.ts';
import { type NextTileCall, nextTile } from '../../verbs/next-tile.ts';
import type { Ports, ProgressReport, RecipeRow, VerdictRow } from '../../verbs/ports.ts';
import { type PredictCall, predict } from '../../verbs/predict.ts';
import { type TryCall, tryBalls } from '../../verbs/try.ts';
import { type ColourMix, type ColourSource, mixColours } from './mix-colours.ts';

/** A clay model as work takes it: its file, and what to call it. */
interface ClayAtHand {
  readonly name: string;
  readonly bytes: Uint8Array;
}

/** Heavy work on what a book holds, whole in itself, so that any thread can do it. */
export type ClayWork =
  | {
      readonly verb: 'learn';
      readonly readings: readonly Reading[];
      readonly basis?: Basis;
      readonly since?: ClayAtHand;
    }
  | ({ readonly verb: 'find'; readonly clay: ClayAtHand; readonly stock?: readonly StockRow[] } & {
      readonly call: Omit<FindCall, 'clay' | 'stockFile' | 'stock'>;
    })
  | {
      readonly verb: 'next-tile';
      readonly clay: ClayAtHand;
      readonly call: Omit<NextTileCall, 'clay'>;
    }
  | {
      readonly verb: 'try';
      readonly clay: ClayAtHand;
      readonly call: Omit<TryCall, 'clay' | 'verdicts'>;
      readonly trials: readonly Omit<VerdictRow, 'place'>[];
    }
  | {
      readonly verb: 'predict';
      readonly clay: ClayAtHand;
      readonly recipes: readonly Omit<RecipeRow, 'place' | 'column'>[];
      readonly viewing: PredictCall['viewing'];
    }
  | ColourWork
  | {
      readonly verb: 'inspect';
      readonly clay: ClayAtHand;
      readonly viewing: InspectCall['viewing'];
    };

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

export interface WorkTools {
  readonly nowMs: () => number;
  readonly progress: (report: ProgressReport) => void;
  readonly breathe: () => Promise<void>;
  /** Whether work that can end early with what it has should; see `endsEarly`. */
  readonly stopped?: () => boolean;
  readonly madeWith: string;
}

/** Work that answers with the best so far when it is stopped. */
export function endsEarly({ verb }: { readonly verb: string }): boolean {
  return verb === ('find' satisfies ClayWork['verb']);
}

const THE_BOOK = 'the book';
const OUT = 'the new clay model';

/** Does a piece of work through the same use cases the command line has. Refuses: as they do */
export async function doClayWork(work: ClayWork, tools: WorkTools): Promise<ClayWorkDone> {
  const ports = portsOf(work, tools);
  switch (work.verb) {
    case 'learn': {
      const learned = await learn(ports, {
        readings: [THE_BOOK],
        out: OUT,
        ...(work.basis === undefined ? {} : { basis: work.basis }),
        ...(work.since === undefined ? {} : { since: work.since.name }),
      });
      const { file, ...rest } = learned;
      const { basis, report, clays, readings } = file;
      return {
        answer: plain({
          ...rest,
          basis,
          report,
          clays: clays.map(({ name }) => name),
          hashes: readings.hashes,
        }),
        clayFile: bytesFromClayFile(file),
      };
    }
    case 'find': {
      const stock = work.stock === undefined ? {} : { stock: work.stock };
      return { answer: plain(await find(ports, { ...work.call, ...stock, clay: work.clay.name })) };
    }
    case 'next-tile':
      return { answer: plain(await nextTile(ports, { ...work.call, clay: work.clay.name })) };
    case 'try': {
      const call = { ...work.call, clay: work.clay.name, verdicts: THE_BOOK };
      return { answer: plain(await tryBalls(ports, call)) };
    }
    case 'predict': {
      const { clay, viewing } = work;
      const predicted = await predict(ports, {
        clay: clay.name,
        wanted: { from: THE_BOOK },
        viewing,
      });
      return { answer: plain({ predicted }) };
    }
    case 'colours':
      return { answer: { colours: await mixColours(ports, work.source, work.mixes) } };
    case 'inspect': {
      const { file, clays } = await inspect(ports, {
        clay: work.clay.name,
        viewing: work.viewing,
      });
      return { answer: plain({ clays, report: file.report, basis: file.basis }) };
    }
  }
}

/** What the use cases take for files is what came with the work. */
function portsOf(work: ClayWork, tools: WorkTools): Ports {
  const at = new Map<string, Uint8Array>();
  const clay = modelOf(work);
  if (clay !== undefined) at.set(clay.name, clay.bytes);
  const given = work.verb === 'learn' ? work.readings : [];
  at.set(THE_BOOK, new TextEncoder().encode(canonicalJson(given)));
  const place = (row: number) => ({ file: THE_BOOK, line: row + 1 });
  return {
    ...tools,
    files: {
      async read(path) {
        const bytes = at.get(path);
        if (bytes === undefined) throw notThere(path);
        return bytes;
      },
      async write(path, bytes) {
        at.set(path, bytes);
      },
      look: async (path) => ({ identity: path, kind: path === OUT ? 'nothing' : 'file' }),
    },
    readers: {
      readings: () => ({ readings: given, notes: [] }),
      recipes: () => ({
        recipes: (work.verb === 'predict' ? work.recipes : []).map((row, i) => ({
          ...row,
          place: place(i),
          column: 1,
        })),
      }),
      verdicts: () =>
        (work.verb === 'try' ? work.trials : []).map((row, i) => ({ ...row, place: place(i) })),
      stock: () => [],
    },
    photos: { decode: (_, name) => Promise.reject(notThere(name)) },
    printing: { traySheet: () => Promise.reject(notThere('a sheet')) },
  };
}

function modelOf(work: ClayWork): ClayAtHand | undefined {
  if (work.verb === 'learn') return work.since;
  if (work.verb !== 'colours') return work.clay;
  return 'model' in work.source ? work.source.model : undefined;
}

/** A use case asked for what its work did not bring. */
export function notThere(path: string): AppError {
  return new AppError({
    code: 'file-missing',
    kind: 'not-found',
    detail: `${path} did not come with the work.`,
    hint: 'This is a mistake in Kneadwell.',
  });
}

/** As JSON has it: rows of numbers as lists, nothing absent. */
function plain(value: unknown): Record<string, unknown> {
  return JSON.parse(
    JSON.stringify(value, (_, part) =>
      ArrayBuffer.isView(part) ? Array.from(part as Float64Array) : part,
    ),
  );
}
