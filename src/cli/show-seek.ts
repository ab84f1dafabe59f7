import type { FoundRecipe, Help, SeekCall, Sought } from '../app/seek.ts';
import { labUnder } from '../core/colour/adaptation.ts';
import { colourName } from '../core/colour/colour-name.ts';
import type { Lab } from '../core/colour/triples.ts';
import { formatRecipe } from '../core/recipe/notation.ts';
import { type Side, sideInWords, verdictWord } from '../core/recipe/verdict.ts';
import type { Aim } from './aim.ts';
import {
  columns,
  isShown,
  labText,
  NOT_SHOWN,
  NOT_SHOWN_NOTE,
  plain,
  type Screen,
  swatch,
} from './paper.ts';

export function soughtText(sought: Sought, aim: Aim, call: SeekCall, screen: Screen): string {
  const { viewing, tolerance } = call;
  const house = labUnder(aim.lab, viewing, { light: 'D50', observer: 2 });
  const lines = [
    `Which whole parts give ${plain(aim.written)}?`,
    '',
    `  ${swatch(screen, house)}${colourName(house).name}, ${labText(aim.lab)}${isShown(house) ? '' : ` ${NOT_SHOWN}`}`,
    ...aim.notes.map((note) => `  ${plain(note)}`),
    '',
  ];
  if (sought.recipes.length === 0) lines.push('  No recipe can be cut from so few parts.');
  if (sought.shortfall !== undefined) {
    lines.push(...shortfallLines(sought, call, colourName(house).name), '');
  }
  lines.push(...recipeLines(sought.recipes, house, screen), '');
  lines.push(
    `${sought.tried.toLocaleString('en')} recipes tried in ${(sought.searchMs / 1000).toFixed(1)} s. Distances and ± in dE00 under ${viewing.light}, ${viewing.observer} degrees; near enough is ${tolerance}.`,
  );
  if (!isShown(house) || sought.recipes.some(({ shown }) => !isShown(shown))) {
    lines.push(NOT_SHOWN_NOTE);
  }
  return `${lines.join('\n')}\n`;
}

/** Two lines a recipe, so that aim and prediction touch along a tall edge. */
function recipeLines(recipes: readonly FoundRecipe[], aim: Lab, screen: Screen): string[] {
  const firsts = columns(
    recipes.map((r, i) => [
      String(i + 1),
      piecesOf(r),
      `${r.dE00.toFixed(1)} ± ${r.plusMinus.toFixed(1)}${isShown(r.shown) ? '' : ` ${NOT_SHOWN}`}`,
    ]),
    'rll',
  );
  const indent = ' '.repeat(String(recipes.length).length);
  return recipes.flatMap((r, i) => {
    const tiles = swatch(screen, aim, r.shown);
    return [`  ${tiles}${firsts[i]}`, `  ${tiles}${indent}  ${r.verdict.sentence}`];
  });
}

function piecesOf({ parts }: FoundRecipe): string {
  return plain(formatRecipe(parts));
}

function shortfallLines({ shortfall }: Sought, call: SeekCall, name: string): string[] {
  if (shortfall === undefined) return [];
  const { dE00, sides, helps } = shortfall;
  const said = sides.filter(({ size }) => size >= 0.8).map(sideInWords);
  const how = said.length === 0 ? '' : `: ${list(said)} than the aim`;
  const word = verdictWord(dE00);
  const enough = Math.ceil(dE00 * 10 + 1e-9) / 10;
  return [
    `  Nothing comes within ${call.tolerance}. The nearest is ${dE00.toFixed(1)} off${how}.`,
    '  What would make it a yes:',
    ...helps.map((help) => `    ${helpText(help, call)}`),
    `    ${missingClay(sides[0], name)}`,
    ...(word === 'different' ? [] : [`    --tolerance ${enough}, where ${TAKEN[word]} is enough`]),
  ];
}

const TAKEN = { same: 'the same', match: 'a match', close: 'close', family: 'the same family' };

function helpText({ kind, value, recipe, dE00 }: Help, { tolerance }: SeekCall): string {
  const option = {
    'all-clays': 'all your clays, without --only',
    'more-parts': `--parts ${value}`,
    'more-parents': `--parents ${value}`,
  }[kind];
  const nearer = dE00 <= tolerance ? '' : 'nearer, though not a yes: ';
  return `${option}: ${nearer}${plain(formatRecipe(recipe))}, ${dE00.toFixed(1)} off`;
}

/** What lies on the side that the best recipe misses. */
function missingClay(side: Side | undefined, name: string): string {
  const wanted: Readonly<Record<string, string>> = {
    duller: 'a brighter clay near',
    brighter: 'a duller clay or a grey near',
    darker: 'a lighter clay or a cleaner white for',
    lighter: 'a darker or stronger clay for',
    redder: 'a greener clay near',
    greener: 'a redder clay near',
    yellower: 'a bluer clay near',
    bluer: 'a yellower clay near',
  };
  return `${wanted[side?.word ?? ''] ?? 'another clay near'} ${name}`;
}

function list(words: readonly string[]): string {
  if (words.length < 2) return words.join('');
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

export function soughtJson({ recipes, searchMs }: Sought, aim: Lab): string {
  return JSON.stringify({
    aim,
    recipes: recipes.map(({ parts, lab, dE00, chance }) => ({
      parts: Object.fromEntries(parts.map((term) => [term.parent, term.parts])),
      lab,
      dE00,
      chance,
    })),
    searchMs,
  });
}
