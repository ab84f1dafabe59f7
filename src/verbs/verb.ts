import type { z } from 'zod';
import { answered, type Pace, type WorkSteps } from '../core/find/work-steps.ts';
import type { ProgressReport } from './progress.ts';

/**
 * How a field of a question is put into words, under keys of the field's own schema. The command line,
 * its help, the API's document and the forms of the page are made from these.
 */
export interface FieldWords {
  /** One line of help. */
  readonly help: string;
  /** Option of the command line, without its dashes. */
  readonly option?: string;
  /** What stands for the value in the help: `N`, `FILE`. */
  readonly value?: string;
  /** A value as it may be typed, for whoever left it out. */
  readonly example?: string;
  /** What is listed, where names are; `clay` when absent. */
  readonly noun?: string;
  /** How text becomes the value, where the schema alone does not say. */
  readonly reads?: FieldReader;
  /** An option that names a file with the value, or with more values of the list. */
  readonly file?: { readonly option: string; readonly holds: FileKind; readonly help: string };
  /** Name of the word that is the value without an option: `COLOUR`. */
  readonly operand?: string;
}

export type FieldReader =
  | 'light'
  | 'lights'
  | 'mix'
  | 'share'
  | 'colour'
  | 'corners'
  | 'place'
  | 'tap'
  | 'chart'
  | 'sheet';
export type FileKind = 'recipes' | 'stock' | 'trials' | 'earlier' | 'tiles' | 'pairs';

/** `FieldWords` as the keys that `.meta()` takes; own keys begin with x-, as OpenAPI has it. */
export function words({ help, ...rest }: FieldWords): Record<string, unknown> {
  const own = Object.entries(rest).map(([key, value]) => [`x-${key}`, value]);
  return { description: help, ...Object.fromEntries(own) };
}

/** One question that Kneadwell answers, whoever asks. */
export interface Verb<
  Name extends string = string,
  Subject = never,
  Question extends z.ZodObject = z.ZodObject,
  Answer = unknown,
> {
  readonly name: Name;
  /** The question as a person has it. */
  readonly asks: string;
  /** Everything that may be asked, with limits, defaults and a line of help each. */
  readonly question: Question;
  /** What comes back, as it crosses to another thread or program. */
  readonly answer: z.ZodType<Answer>;
  /** Stopped, it answers with the best so far. */
  readonly endsEarly: boolean;
  /** Answers step by step, on values alone; `hear` gets the answer so far, where a verb gives one. */
  run(
    subject: Subject,
    question: z.output<Question>,
    hear?: (soFar: Answer) => void,
  ): WorkSteps<Answer>;
  /** The same for a question not checked yet. Refuses: what the schema refuses */
  ask(subject: Subject, question: unknown): WorkSteps<Answer>;
}

/** A verb from its parts. */
export function verb<Name extends string, Subject, Question extends z.ZodObject, Answer>(
  parts: Omit<Verb<Name, Subject, Question, Answer>, 'ask' | 'endsEarly'> & {
    readonly endsEarly?: true;
  },
): Verb<Name, Subject, Question, Answer> {
  return {
    endsEarly: false,
    ...parts,
    ask: (subject, question) => parts.run(subject, parts.question.parse(question)),
  };
}

/** What a shell lends to a question: its clock, its ear, and somebody to tell how far it is. */
export interface Asking extends Pick<Pace, 'nowMs' | 'breathe' | 'stopped' | 'optimiser'> {
  readonly progress: (report: ProgressReport) => void;
}

export interface Answered<T> {
  readonly answer: T;
  /** Of the search itself where there is one, else of all of it. */
  readonly workMs: number;
}

/** Asks a question at the pace of a shell. */
export async function asked<T>(work: WorkSteps<T>, shell: Asking): Promise<Answered<T>> {
  const { nowMs, breathe, progress, stopped, optimiser } = shell;
  const startedMs = nowMs();
  let searchMs: number | undefined;
  const answer = await answered(work, {
    nowMs,
    breathe,
    ...(stopped === undefined ? {} : { stopped }),
    ...(optimiser === undefined ? {} : { optimiser }),
    begun: ({ what }) => progress({ what }),
    worked({ what, run: { settled, total } }) {
      const far = settled === undefined || total === undefined ? undefined : settled * total;
      progress({ what, ...(far === undefined ? {} : { done: Math.floor(far), total }) });
    },
    ended({ tell }) {
      if (tell !== undefined) searchMs = nowMs() - startedMs;
    },
  });
  return { answer, workMs: searchMs ?? nowMs() - startedMs };
}
