import { AppError } from '../core/errors.ts';
import { nearestNames } from '../core/notation/nearest-name.ts';
import { PAPERS, RULER_MM } from '../core/photo/sheet-layout.ts';
import { ERROR_TABLE } from '../domain/error-table.ts';
import { find } from '../verbs/find.ts';
import { inspect } from '../verbs/inspect.ts';
import { learn } from '../verbs/learn.ts';
import { NEAREST_LIMITS, type NearestCall, nearest } from '../verbs/nearest.ts';
import { NEXT_TILE_LIMITS, nextTile } from '../verbs/next-tile.ts';
import type { Ports } from '../verbs/ports.ts';
import { predict } from '../verbs/predict.ts';
import { read } from '../verbs/read.ts';
import { traySheet } from '../verbs/tray-sheet.ts';
import { TRY_LIMITS, type TryCall, tryBalls } from '../verbs/try.ts';
import { aimFrom } from './aim.ts';
import { bookAnswer } from './book/answer.ts';
import type { BookShell } from './book/book-shell.ts';
import { onBook } from './book/on-book.ts';
import {
  BOOK_HELP,
  BOOK_OPTIONS,
  BOOK_PROGRAM_HELP,
  BOOK_VERB_NAMES,
  ON_BOOK,
  ON_BOOK_HELP,
} from './book/verbs.ts';
import { FIND_OPTIONS, findCallOf } from './find-options.ts';
import { PROGRAM_HELP, VERB_HELP, VERB_NAMES, type VerbName } from './help.ts';
import {
  basisOf,
  type Given,
  givenFrom,
  namesOf,
  neededValue,
  numberOf,
  type OptionKind,
  oneValue,
  unreadableCall,
  viewingOf,
} from './options.ts';
import { readCallOf } from './read-options.ts';
import { findJson, findText } from './show-find.ts';
import { inspectedJson, inspectedText } from './show-inspect.ts';
import { learnedJson, learnedText } from './show-learn.ts';
import { nearestJson, nearestText } from './show-nearest.ts';
import { nextTileJson, nextTileText } from './show-next-tile.ts';
import { predictionJson, predictionText } from './show-predict.ts';
import { readJson, readText } from './show-read.ts';
import { triedJson, triedText } from './show-try.ts';
import { plain, type Screen } from './terminal-output.ts';

/** Where a call comes from and its answers go. */
export interface Shell {
  readonly ports: Ports;
  readonly screen: Screen;
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  /** Takes a progress line away before anything else is written. */
  readonly clearProgress: () => void;
  readonly version: string;
  /** Loaded when a call wants the mix book, so that the others start without its engine. */
  readonly book: () => Promise<BookShell>;
}

const COMMON = {
  help: 'switch',
  json: 'switch',
  light: 'value',
  observer: 'value',
  basis: 'value',
} as const satisfies Record<string, OptionKind>;

const OPTIONS: Readonly<Record<VerbName, Readonly<Record<string, OptionKind>>>> = {
  learn: { ...COMMON, out: 'value', since: 'value' },
  predict: { ...COMMON, of: 'values', from: 'value' },
  find: { ...COMMON, ...FIND_OPTIONS },
  inspect: COMMON,
  'next-tile': {
    ...COMMON,
    tiles: 'value',
    for: 'values',
    aim: 'values',
    parts: 'value',
    only: 'values',
  },
  try: {
    ...COMMON,
    aim: 'value',
    'aim-spread': 'value',
    verdicts: 'value',
    clays: 'value',
    parts: 'value',
    only: 'values',
  },
  nearest: { ...COMMON, in: 'values', top: 'value', within: 'value' },
  read: {
    ...COMMON,
    sheet: 'value',
    chart: 'value',
    corners: 'value',
    tap: 'values',
    controls: 'value',
    tiles: 'value',
    out: 'value',
  },
  'tray-sheet': { ...COMMON, out: 'value', paper: 'value', codes: 'values' },
};

/**
 * One call of the command line, from its words to its exit code.
 * Returns: 0 for an answer, refusals among them; else by ERROR_TABLE, with one sentence on standard
 *          error, or with --json one line {"fault": {code, kind, detail, hint, retry}}
 * Holds:   standard output stays empty when a fault is told
 */
export async function runCli(args: readonly string[], shell: Shell): Promise<number> {
  try {
    const answer = await answerTo(args, shell);
    shell.clearProgress();
    shell.out(answer);
    return 0;
  } catch (thrown) {
    shell.clearProgress();
    const fault = thrown instanceof AppError ? thrown : unforeseen(thrown);
    const json = args.includes('--json');
    shell.err(
      json
        ? `${JSON.stringify({ fault })}\n`
        : `kneadwell: ${plain(fault.detail)} ${plain(fault.hint)}\n`,
    );
    return ERROR_TABLE[fault.kind].exitCode;
  }
}

function unforeseen(thrown: unknown): AppError {
  return new AppError({
    code: 'unforeseen',
    kind: 'internal',
    detail: `Something inside Kneadwell went another way than it should: ${thrown instanceof Error ? thrown.message : String(thrown)}.`,
    hint: 'Please report it, with the call and the files that led here.',
    cause: thrown,
  });
}

async function answerTo(args: readonly string[], shell: Shell): Promise<string> {
  const [first, ...rest] = args;
  if (first === undefined || first === '--help' || first === '-h' || first === 'help') {
    return helpFor(rest[0]) ?? `${PROGRAM_HELP}\n${BOOK_PROGRAM_HELP}`;
  }
  if (first === '--version') return `kneadwell ${shell.version}\n`;
  const bookVerb = BOOK_VERB_NAMES.find((name) => name === first);
  if (bookVerb !== undefined) {
    const given = givenFrom(rest, BOOK_OPTIONS[bookVerb], bookVerb);
    if (given.switches.has('help')) return helpFor(bookVerb)!;
    return bookAnswer(bookVerb, given, await shell.book());
  }
  const verb = VERB_NAMES.find((name) => name === first);
  if (verb === undefined) {
    const [nearest] = nearestNames(first, [...VERB_NAMES, ...BOOK_VERB_NAMES]);
    const meant = nearest === undefined ? '' : ` Did you mean "${nearest}"?`;
    throw unreadableCall(`"${first.slice(0, 40)}" is not something Kneadwell does.${meant}`, '');
  }
  const bookToo = ON_BOOK.includes(verb) ? ({ book: 'switch', folder: 'value' } as const) : {};
  const given = givenFrom(rest, { ...OPTIONS[verb], ...bookToo }, verb);
  if (given.switches.has('help')) return helpFor(verb)!;
  if (!given.switches.has('book')) return ANSWERS[verb](given, shell);
  const { books } = await shell.book();
  const turned = await onBook(verb, given, shell.ports, books);
  return ANSWERS[verb](turned.given, { ...shell, ports: turned.ports });
}

/** What there is to say of a verb; nothing where there is no such verb. */
function helpFor(word: string | undefined): string | undefined {
  const bookVerb = BOOK_VERB_NAMES.find((name) => name === word);
  if (bookVerb !== undefined) return `${BOOK_HELP[bookVerb].trimEnd()}\n`;
  const verb = VERB_NAMES.find((name) => name === word);
  if (verb === undefined) return undefined;
  const more = ON_BOOK.includes(verb) ? ON_BOOK_HELP : '';
  return `${VERB_HELP[verb].trimEnd()}\n${more}`;
}

const ANSWERS: Readonly<Record<VerbName, (given: Given, shell: Shell) => Promise<string>>> = {
  async learn(given, { ports }) {
    if (given.operands.length === 0) {
      throw unreadableCall('Which readings? Name at least one file.', 'learn');
    }
    const out = neededValue(given, 'out', '--out clay.json', 'learn');
    viewingOf(given, 'learn');
    const basis = basisOf(given, 'learn');
    const since = oneValue(given, 'since');
    const call = {
      readings: given.operands,
      out,
      ...(basis === undefined ? {} : { basis }),
      ...(since === undefined ? {} : { since }),
    };
    const learned = await learn(ports, call);
    return isJson(given) ? `${learnedJson(learned, out)}\n` : learnedText(learned, out);
  },

  async predict(given, { ports, screen }) {
    const clay = oneClay(given, 'predict');
    const of = given.values.get('of');
    const from = oneValue(given, 'from');
    if ((of === undefined) === (from === undefined)) {
      throw unreadableCall('Give either --of RECIPE or --from FILE.', 'predict');
    }
    const viewing = viewingOf(given, 'predict');
    const basis = basisOf(given, 'predict');
    const wanted = from === undefined ? { of: of ?? [] } : { from };
    const call = { clay, wanted, viewing, ...(basis === undefined ? {} : { basis }) };
    const all = await predict(ports, call);
    return isJson(given) ? `${predictionJson(all)}\n` : predictionText(all, screen);
  },

  async find(given, { ports, screen }) {
    const { call, aim } = findCallOf(given, oneClay(given, 'find'));
    const found = await find(ports, call);
    return isJson(given) ? `${findJson(found, aim.lab)}\n` : findText(found, aim, call, screen);
  },

  async inspect(given, { ports, screen }) {
    const clay = oneClay(given, 'inspect');
    basisOf(given, 'inspect');
    const inspected = await inspect(ports, { clay, viewing: viewingOf(given, 'inspect') });
    return isJson(given) ? `${inspectedJson(inspected)}\n` : inspectedText(inspected, clay, screen);
  },

  async 'next-tile'(given, { ports }) {
    const clay = oneClay(given, 'next-tile');
    const viewing = viewingOf(given, 'next-tile');
    const aims = (given.values.get('aim') ?? []).map((text) => aimFrom(text, viewing).lab);
    const basis = basisOf(given, 'next-tile');
    const names = given.values.get('only');
    const only = names === undefined ? undefined : namesOf(names);
    if (only?.length === 0) throw unreadableCall('--only names no clay.', 'next-tile');
    const whole = (name: 'tiles' | 'parts', fallback: number) =>
      numberOf(given, name, fallback, NEXT_TILE_LIMITS[name], 'next-tile', true);
    const named = await nextTile(ports, {
      clay,
      viewing,
      tiles: whole('tiles', 3),
      parts: whole('parts', 16),
      recipes: given.values.get('for') ?? [],
      aims,
      ...(only === undefined ? {} : { only }),
      ...(basis === undefined ? {} : { basis }),
    });
    return isJson(given) ? `${nextTileJson(named)}\n` : nextTileText(named, viewing);
  },

  async try(given, { ports, screen }) {
    const clay = oneClay(given, 'try');
    const viewing = viewingOf(given, 'try');
    const aim = aimFrom(neededValue(given, 'aim', '--aim "#8a9b6c"', 'try'), viewing);
    const basis = basisOf(given, 'try');
    const verdicts = oneValue(given, 'verdicts');
    const names = given.values.get('only');
    const only = names === undefined ? undefined : namesOf(names);
    if (only?.length === 0) throw unreadableCall('--only names no clay.', 'try');
    const call: TryCall = {
      clay,
      aim: aim.lab,
      aimSpread: numberOf(given, 'aim-spread', 6, TRY_LIMITS.aimSpread, 'try'),
      viewing,
      mostClays: numberOf(given, 'clays', 4, TRY_LIMITS.clays, 'try', true),
      parts: numberOf(given, 'parts', 10, TRY_LIMITS.parts, 'try', true),
      ...(verdicts === undefined ? {} : { verdicts }),
      ...(only === undefined ? {} : { only }),
      ...(basis === undefined ? {} : { basis }),
    };
    const tried = await tryBalls(ports, call);
    return isJson(given) ? `${triedJson(tried, aim.lab)}\n` : triedText(tried, aim, call, screen);
  },

  async nearest(given, { ports, screen }) {
    if (given.operands.length !== 1) {
      throw unreadableCall(
        given.operands.length === 0
          ? 'Which colour? Give one, like 60,-20,20 or "#8a9b6c".'
          : `One colour is looked for at a time, and ${given.operands.length} were given.`,
        'nearest',
      );
    }
    neededValue(given, 'in', '--in readings.csv', 'nearest');
    const viewing = viewingOf(given, 'nearest');
    const aim = aimFrom(given.operands[0], viewing);
    const basis = basisOf(given, 'nearest');
    const call: NearestCall = {
      readings: given.values.get('in') ?? [],
      aim: aim.lab,
      viewing,
      top: numberOf(given, 'top', 10, NEAREST_LIMITS.top, 'nearest', true),
      ...(oneValue(given, 'within') === undefined
        ? {}
        : { within: numberOf(given, 'within', 0, NEAREST_LIMITS.within, 'nearest') }),
      ...(basis === undefined ? {} : { basis }),
    };
    const neared = await nearest(ports, call);
    return isJson(given)
      ? `${nearestJson(neared, aim.lab)}\n`
      : nearestText(neared, aim, call, screen);
  },

  async read(given, { ports, screen }) {
    viewingOf(given, 'read');
    basisOf(given, 'read');
    const all = await read(ports, readCallOf(given));
    return isJson(given) ? `${readJson(all)}\n` : readText(all, screen, given.values.has('tiles'));
  },

  async 'tray-sheet'(given, { ports }) {
    viewingOf(given, 'tray-sheet');
    basisOf(given, 'tray-sheet');
    const out = neededValue(given, 'out', '--out sheet.pdf', 'tray-sheet');
    const named = oneValue(given, 'paper') ?? 'A4';
    const paper = PAPERS.find((name) => name.toLowerCase() === named.toLowerCase());
    if (paper === undefined) {
      throw unreadableCall(
        `--paper is "${named.slice(0, 40)}"; it is ${PAPERS.join(' or ')}.`,
        'tray-sheet',
      );
    }
    const codes = namesOf(given.values.get('codes') ?? []);
    const { layout, leftOver } = await traySheet(ports, { paper, codes, out });
    if (isJson(given)) {
      return `${JSON.stringify({ out, paper, places: layout.places.length, leftOver })}\n`;
    }
    const lost =
      leftOver.length === 0 ? '' : ` No place was left for ${leftOver.map(plain).join(', ')}.`;
    return `${plain(out)} has ${layout.places.length} places. Print it at 100 %: its ruler is ${RULER_MM} mm long.${lost}\n`;
  },
};

function isJson(given: Given): boolean {
  return given.switches.has('json');
}

function oneClay({ operands }: Given, verb: VerbName): string {
  if (operands.length === 1) return operands[0];
  throw unreadableCall(
    operands.length === 0
      ? 'Which clay file? Name the one that "kneadwell learn" wrote.'
      : `One clay file is read at a time, and ${operands.length} names were given: ${operands.join(', ').slice(0, 80)}.`,
    verb,
  );
}
