import type { JobCall } from '../../api/job-routes.ts';
import type { Viewing } from '../../core/colour/adaptation.ts';
import { AppError } from '../../core/errors.ts';
import type { FindAnswer } from '../../core/find/find-answer.ts';
import { clayKey, formatRecipe } from '../../core/notation/notation.ts';
import { canonicalJson, sha256Of } from '../../domain/canonical-json.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import type { ProgressReport } from '../../verbs/ports.ts';
import type { Book } from '../book.ts';
import { notInBook } from '../errors.ts';
import { readingsOfBook } from '../readings-of-book.ts';
import { bytesOf, saveClayModel } from '../save-file.ts';
import { stockRows } from '../stock-rows.ts';
import type { ClayWork, ClayWorkDone } from './clay-work.ts';
import type { JobRunner } from './job-queue.ts';
import { recipesWanted, type WantedMix } from './wanted-mix.ts';

/** Does work on another thread. Stopped by the signal, it refuses with the signal's reason. */
export type WorkElsewhere = (
  work: ClayWork,
  options: {
    readonly signal?: AbortSignal;
    readonly progress?: (report: ProgressReport) => void;
    /** A person waits for it with her finger on the key. */
    readonly soon?: boolean;
  },
) => Promise<ClayWorkDone>;

const HOUSE_VIEWING: Viewing = { light: 'D50', observer: 2 };

/** The jobs of a clay model: what each takes from the book, and what it gives back. */
export function clayJobs(
  book: Book,
  elsewhere: WorkElsewhere,
): {
  readonly learn: JobRunner<'learn'>;
  readonly find: JobRunner<'find'>;
  readonly 'next-tile': JobRunner<'next-tile'>;
  readonly try: JobRunner<'try'>;
} {
  return {
    async learn(call, tools) {
      const { readings, hashes, blocks } = await readingsFor(book, call);
      const since = call.sinceId === undefined ? undefined : await clayAtHand(book, call.sinceId);
      const { answer, clayFile } = await elsewhere(
        {
          verb: 'learn',
          readings,
          ...(call.basis === undefined ? {} : { basis: call.basis }),
          ...(since === undefined ? {} : { since: since.clay }),
        },
        tools,
      );
      const { clays, hashes: used, basis, ...rest } = answer as unknown as LearnedAnswer;
      const learned = new Set(used);
      const { records } = await saveClayModel(
        book,
        clayFile!,
        {
          name: call.name,
          basis,
          clays: clays.map((name) => {
            const blockId = blocks.get(clayKey(name));
            return { name, ...(blockId === undefined ? {} : { blockId }) };
          }),
          learnedFrom: hashes.filter(({ hash }) => learned.has(hash)),
        },
        `Learned the clay model ${call.name}`,
      );
      return { clayModelId: records[0].id, ...rest };
    },
    async find(call, tools) {
      const { clay, record } = await clayAtHand(book, call.clayModelId);
      const { clayModelId: _, do: __, viewing, ...rest } = call;
      const stock = await stockRows(book, record);
      const work = { ...rest, viewing: viewing ?? HOUSE_VIEWING };
      const { answer } = await elsewhere({ verb: 'find', clay, call: work, stock }, tools);
      const { endedBy, settled, recipes } = answer as unknown as FindAnswer;
      if (endedBy !== undefined) tools.fallsShort(unfinished(endedBy, settled, recipes.length));
      return answer;
    },
    async 'next-tile'(call, tools) {
      const { clay, record } = await clayAtHand(book, call.clayModelId);
      const { clayModelId: _, do: __, viewing, wanted, ...rest } = call;
      const rows = await recipesWanted(book, record, wanted);
      const recipes = rows.map(({ of }) => formatRecipe(of));
      const work = { ...rest, recipes, viewing: viewing ?? HOUSE_VIEWING };
      return (await elsewhere({ verb: 'next-tile', clay, call: work }, tools)).answer;
    },
    async try(call, tools) {
      const { clay } = await clayAtHand(book, call.clayModelId);
      const { clayModelId: _, do: __, viewing, trials, ...rest } = call;
      const work = { ...rest, viewing: viewing ?? HOUSE_VIEWING };
      return (await elsewhere({ verb: 'try', clay, call: work, trials }, tools)).answer;
    },
  };
}

/** Colours of mixes by a clay model of the book. */
export async function predictInBook(
  book: Book,
  elsewhere: WorkElsewhere,
  call: {
    readonly id: string;
    readonly wanted: readonly WantedMix[];
    readonly viewing?: Viewing;
  },
): Promise<ClayWorkDone['answer']> {
  const { clay, record } = await clayAtHand(book, call.id);
  const recipes = await recipesWanted(book, record, call.wanted);
  const viewing = call.viewing ?? HOUSE_VIEWING;
  return (await elsewhere({ verb: 'predict', clay, recipes, viewing }, { soon: true })).answer;
}

/** What a clay model of the book knows. */
export async function inspectInBook(
  book: Book,
  elsewhere: WorkElsewhere,
  call: { readonly id: string; readonly viewing: Viewing },
): Promise<{ readonly record: RecordOf<'clay-model'>; readonly answer: ClayWorkDone['answer'] }> {
  const { clay, record } = await clayAtHand(book, call.id);
  const work = { verb: 'inspect', clay, viewing: call.viewing } as const;
  return { record, answer: (await elsewhere(work, { soon: true })).answer };
}

function unfinished(endedBy: 'stop' | 'time', settled: number, found: number): string {
  const ended = endedBy === 'time' ? 'Its time was over' : 'It was stopped';
  const percent = Math.floor(Math.min(99.9, 100 * settled) * 10) / 10;
  const best =
    found === 0
      ? 'Nothing was found by then'
      : 'These are the best so far, and better ones may exist';
  return `${ended} before the search was finished: ${percent} % of all recipes are tried or proven worse. ${best}.`;
}

interface LearnedAnswer extends Readonly<Record<string, unknown>> {
  readonly clays: readonly string[];
  readonly hashes: readonly string[];
  readonly basis: 'volume' | 'weight';
}

async function clayAtHand(book: Book, id: string) {
  const record = await book.ports.store.get(id);
  if (record?.kind !== 'clay-model') throw notInBook(id);
  // No model can then be called as another thing that comes with the work.
  return {
    record,
    clay: { name: `clay model ${record.body.name}`, bytes: await bytesOf(book, record) },
  };
}

async function readingsFor(book: Book, { blockIds }: Extract<JobCall, { do: 'learn' }>) {
  const found = await readingsOfBook(book);
  const blocks = new Map([...found.blocks].map(([name, id]) => [clayKey(name), id]));
  const asked = blockIds === undefined ? undefined : new Set(blockIds);
  const chosen = found.readings.filter(
    ({ reading }) =>
      asked === undefined ||
      reading.of.every(({ clay }) => asked.has(blocks.get(clayKey(clay)) ?? '')),
  );
  if (chosen.length === 0) throw nothingToLearn();
  return {
    blocks,
    readings: chosen.map(({ reading }) => reading),
    // As `learn` takes them: the same reading wherever it stands.
    hashes: chosen.map(({ recordId, reading: { place: _, ...reading } }) => ({
      readingId: recordId,
      hash: sha256Of(canonicalJson(reading)),
    })),
  };
}

function nothingToLearn(): AppError {
  return new AppError({
    code: 'nothing-to-learn',
    kind: 'bad-input',
    detail: 'The book holds no reading to learn these clays from.',
    hint: 'Bake a tile of each block, read its colour, and keep the reading.',
  });
}
