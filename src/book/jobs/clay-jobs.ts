import { z } from 'zod';
import { AppError } from '../../core/errors.ts';
import { BASES, type Basis } from '../../core/mixes/mix-graph.ts';
import { clayKey } from '../../core/notation/notation.ts';
import { hashOfReading } from '../../domain/hash-of-reading.ts';
import { newestModelOf } from '../../domain/newest-model.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { find } from '../../verbs/find.ts';
import { type InspectAnswer, type InspectQuestion, inspect } from '../../verbs/inspect.ts';
import { sourceFrom } from '../../verbs/learn.ts';
import { predict } from '../../verbs/predict.ts';
import type { ProgressReport } from '../../verbs/progress.ts';
import type { ClayVerbName } from '../../verbs/verbs.ts';
import { allRecords } from '../all-records.ts';
import { type Book, changedRecord } from '../book.ts';
import type { ClayWork, ClayWorkDone } from '../clay-work.ts';
import { notInBook } from '../errors.ts';
import { bakingOfBook, bendTestsOfBook } from '../hold-and-bake.ts';
import { readingsOfBook } from '../readings-of-book.ts';
import { saveLearnedModel } from '../save-clay-model.ts';
import { bytesOf } from '../save-file.ts';
import type { JobRunners } from './job-queue.ts';
import { askedOfModel, type QuestionInWords } from './model-terms.ts';

/** Does work on another thread. Stopped by the signal, it refuses with the signal's reason. */
export type WorkElsewhere = (
  work: ClayWork,
  options: {
    readonly signal?: AbortSignal;
    readonly progress?: (report: ProgressReport) => void;
    /** The user is actively waiting for the result. */
    readonly soon?: boolean;
  },
) => Promise<ClayWorkDone>;

/** Questions to a clay model that are asked as jobs. */
type ClayJobName = Exclude<ClayVerbName, 'predict' | 'inspect'>;

/** The jobs of a clay model: what each takes from the book, and what it gives back. */
export function clayJobs(
  book: Book,
  elsewhere: WorkElsewhere,
): Pick<JobRunners, 'learn' | 'nearest' | 'hold' | 'bake' | ClayJobName> {
  return {
    async learn({ do: _, name, blockIds, sinceId, check, ...question }, tools) {
      const { source, hashes, blocks } = await readingsFor(book, blockIds, question.basis);
      const beforeId =
        sinceId ?? newestModelOf(await allRecords(book.ports.store, 'clay-model'))?.id;
      const since =
        beforeId === undefined ? {} : { since: (await clayAtHand(book, beforeId)).clay };
      const sinceIsNamed = sinceId !== undefined;
      const { answer, clayFile } = await elsewhere(
        { verb: 'learn', source, question, ...since, sinceIsNamed },
        tools,
      );
      const { clays, hashes: used, basis, ...rest } = learnedSchema.parse(answer);
      if (check === true) return rest;
      const learned = new Set(used);
      const saved = await saveLearnedModel(
        book,
        clayFile!,
        {
          name,
          basis,
          clays: clays.map((clay) => {
            const blockId = blocks.get(clayKey(clay));
            return { name: clay, ...(blockId === undefined ? {} : { blockId }) };
          }),
          learnedFrom: hashes.filter(({ hash }) => learned.has(hash)),
        },
        'Updated the clay model',
      );
      return { clayModelId: changedRecord(saved).id, ...rest };
    },
    async find(call, tools) {
      const answer = await fromModel(book, elsewhere, call, tools);
      const { endedBy, settled, recipes } = find.answer.parse(answer);
      if (endedBy !== undefined) tools.fallsShort(unfinished(endedBy, settled, recipes.length));
      return answer;
    },
    'next-tile': (call, tools) => fromModel(book, elsewhere, call, tools),
    try: (call, tools) => fromModel(book, elsewhere, call, tools),
    ladder: (call, tools) => fromModel(book, elsewhere, call, tools),
    chart: (call, tools) => fromModel(book, elsewhere, call, tools),
    translate: (call, tools) => fromModel(book, elsewhere, call, tools),
    'new-lot': (call, tools) => fromModel(book, elsewhere, call, tools),
    'check-names': (call, tools) => fromModel(book, elsewhere, call, tools),
    twins: (call, tools) => fromModel(book, elsewhere, call, tools),
    'compare-lines': (call, tools) => fromModel(book, elsewhere, call, tools),
    widen: (call, tools) => fromModel(book, elsewhere, call, tools),
    'buy-or-mix': (call, tools) => fromModel(book, elsewhere, call, tools),
    'buying-list': (call, tools) => fromModel(book, elsewhere, call, tools),
    figure: (call, tools) => fromModel(book, elsewhere, call, tools),
    mend: (call, tools) => fromModel(book, elsewhere, call, tools),
    async hold({ do: verb, ...question }, tools) {
      return (await elsewhere({ verb, from: await bendTestsOfBook(book), question }, tools)).answer;
    },
    async bake({ do: verb, ...question }, tools) {
      return (await elsewhere({ verb, from: await bakingOfBook(book), question }, tools)).answer;
    },
    async nearest({ do: verb, ...question }, tools) {
      const readings = (await readingsOfBook(book)).readings.map(({ reading }) => reading);
      return (await elsewhere({ verb, readings, question }, tools)).answer;
    },
  };
}

/** Asks a clay model of the book, in the words of the book. */
async function fromModel(
  book: Book,
  elsewhere: WorkElsewhere,
  call: { readonly do: ClayVerbName; readonly clayModelId: string } & QuestionInWords,
  tools: Parameters<WorkElsewhere>[1],
): Promise<ClayWorkDone['answer']> {
  const { do: verb, clayModelId, ...asked } = call;
  const { clay, record } = await clayAtHand(book, clayModelId);
  const question = await askedOfModel(book, record, verb, asked);
  return (await elsewhere({ verb, clay, question }, tools)).answer;
}

/** Colours of mixes by a clay model of the book. */
export async function predictInBook(
  book: Book,
  elsewhere: WorkElsewhere,
  { id, ...question }: { readonly id: string } & QuestionInWords,
): Promise<z.output<typeof predict.answer>> {
  const call = { do: predict.name, clayModelId: id, ...question };
  return predict.answer.parse(await fromModel(book, elsewhere, call, { soon: true }));
}

/** What a clay model of the book knows. */
export async function inspectInBook(
  book: Book,
  elsewhere: WorkElsewhere,
  { id, ...question }: { readonly id: string } & InspectQuestion,
): Promise<{ readonly record: RecordOf<'clay-model'>; readonly answer: InspectAnswer }> {
  const { clay, record } = await clayAtHand(book, id);
  const { answer } = await elsewhere({ verb: inspect.name, clay, question }, { soon: true });
  return { record, answer: inspect.answer.parse(answer) };
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

/** What is used here of what learning gives back; the rest goes to who asked. */
const learnedSchema = z.looseObject({
  clays: z.array(z.string()),
  hashes: z.array(z.string()),
  basis: z.enum(BASES),
});

/** No model can then be called as another thing that comes with the work. */
async function clayAtHand(book: Book, id: string) {
  const record = await book.ports.store.get(id);
  if (record?.kind !== 'clay-model') throw notInBook(id);
  const title = `clay model ${record.body.name}`;
  return { record, clay: { title, bytes: await bytesOf(book, record) } };
}

async function readingsFor(
  book: Book,
  blockIds: readonly string[] | undefined,
  basis: Basis | undefined,
) {
  const found = await readingsOfBook(book, basis);
  const blocks = new Map([...found.blocks].map(([name, id]) => [clayKey(name), id]));
  const asked = blockIds === undefined ? undefined : new Set(blockIds);
  const chosen = found.readings.filter(
    ({ reading }) =>
      asked === undefined ||
      reading.of.every(({ clay }) => asked.has(blocks.get(clayKey(clay)) ?? '')),
  );
  if (chosen.length === 0) throw nothingToLearn();
  const readings = chosen.map(({ reading }) => reading);
  return {
    blocks,
    source: sourceFrom('the book', readings, found.notes),
    hashes: chosen.map(({ recordId, reading }) => ({
      readingId: recordId,
      hash: hashOfReading(reading),
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
