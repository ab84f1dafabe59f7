import type { GapReport, Instead, MissingClay, Relaxation } from '../core/find/gap-report.ts';
import { inARow } from '../core/in-a-row.ts';
import { formatRecipe, type Recipe } from '../core/notation/notation.ts';
import { type Side, sideInWords, verdictWord } from '../core/verdict/verdict.ts';
import type { FindQuestion } from '../verbs/find-question.ts';
import { plain } from './terminal-output.ts';

/** How the best falls short, and what would make it a yes; `name` is that of the aim's colour. */
export function shortfallLines(
  gapReport: GapReport,
  question: FindQuestion,
  name: string,
): string[] {
  const { dE00, sides, helps, insteads, missing } = gapReport;
  const { tolerance } = question;
  const relaxed = helps.map((help) => `    ${helpText(help, question)}`);
  if (dE00 === undefined) {
    return relaxed.length > 0
      ? ['  What would let one through:', ...relaxed]
      : ['  No single rule given up would let one through.'];
  }
  const said = saidOf(sides);
  const how = said === '' ? '' : `: ${said} than the aim`;
  const word = verdictWord(dE00);
  const enough = Math.ceil(dE00 * 10 + 1e-9) / 10;
  return [
    `  Nothing comes within ${tolerance}. The closest is ${pastText(dE00, tolerance)} off${how}.`,
    '  What would make it a yes:',
    ...relaxed,
    `    ${missing === undefined ? missingSide(sides[0], name) : missingText(missing)}`,
    ...(word === 'different' ? [] : [`    --tolerance ${enough}, where ${TAKEN[word]} is enough`]),
    ...(insteads.length > 0 ? ['  Or give something up:'] : []),
    ...insteads.map((instead) => `    ${insteadText(instead)}`),
  ];
}

/** A distance past the tolerance, with as many digits as show that it is. */
function pastText(dE00: number, tolerance: number): string {
  const digits = [1, 2].find((few) => Number(dE00.toFixed(few)) > tolerance);
  return dE00.toFixed(digits ?? 3);
}

/** Below this a chroma says nothing to anybody. */
const GREYISH = 6;
const TAKEN = { same: 'the same', match: 'a match', close: 'close', family: 'the same family' };

function helpText(help: Relaxation, { tolerance }: FindQuestion): string {
  const { recipe, dE00 } = help;
  const nearer = dE00 <= tolerance ? '' : 'nearer, though not a yes: ';
  return `${optionText(help)}: ${nearer}${plain(formatRecipe(recipe))}, ${dE00.toFixed(1)} off`;
}

function optionText({ kind, of, value }: Relaxation): string {
  switch (kind) {
    case 'parts':
      return `--parts ${value}`;
    case 'clays':
      return `--clays ${value}`;
    case 'only':
      return 'all your clays, without --only';
    case 'without':
      return 'with the clays that --without leaves out';
    case 'mostLines':
      return 'without --most-lines';
    case 'atLeast':
      return `without --at-least for ${plain(of ?? '')}`;
    case 'atMost':
      return `without --at-most for ${plain(of ?? '')}`;
    case 'halfPart':
      return 'without --half-part';
    case 'effects':
      return '--effects, with clays that are not flat';
    case 'batchG':
      return 'with enough of each in stock for --batch';
    default:
      return `without --${kind}`;
  }
}

function insteadText({ relax, recipe, sides }: Instead): string {
  const said = saidOf(sides);
  return `--relax ${relax}: ${plain(formatRecipe(recipe))}${said === '' ? '' : `, ${said}`}`;
}

function missingText({ name, chroma, dE00 }: MissingClay): string {
  const least = chroma < GREYISH ? '' : `, chroma ${Math.ceil(chroma)} or more`;
  return `a clay near ${name}${least}: the aim would be ${dE00.toFixed(1)} off`;
}

/** What lies on the side that the best recipe misses. */
function missingSide(side: Side | undefined, name: string): string {
  const wanted: Readonly<Record<string, string>> = {
    duller: 'a brighter clay near',
    brighter: 'a duller clay or a grey near',
    redder: 'a greener clay near',
    greener: 'a redder clay near',
    yellower: 'a bluer clay near',
    bluer: 'a yellower clay near',
  };
  if (side?.word === 'darker') return 'a lighter clay or a cleaner white';
  if (side?.word === 'lighter') return 'a darker or stronger clay';
  return `${wanted[side?.word ?? ''] ?? 'another clay near'} ${name}`;
}

function saidOf(sides: readonly Side[]): string {
  return inARow(sides.filter(({ size }) => size >= 0.8).map(sideInWords));
}

export function shortfallJson({ helps, insteads, missing, ...rest }: GapReport) {
  const parted = <T extends { readonly recipe: Recipe; readonly shown: unknown }>(one: T) => {
    const { recipe, shown: _, ...others } = one;
    return { ...others, parts: partsOf(recipe) };
  };
  if (missing === undefined) {
    return { ...rest, helps: helps.map(parted), insteads: insteads.map(parted) };
  }
  const { shown: _, ...wanted } = missing;
  return { ...rest, helps: helps.map(parted), insteads: insteads.map(parted), missing: wanted };
}

/** A recipe as programs take it. */
export function partsOf(recipe: Recipe): Readonly<Record<string, number>> {
  return Object.fromEntries(recipe.map(({ clay, parts }) => [clay, parts]));
}
