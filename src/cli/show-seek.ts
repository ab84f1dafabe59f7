import type { FoundRecipe, LetDownFound, Sought } from '../app/seek.ts';
import type { SeekQuestion } from '../app/seek-plan.ts';
import type { Help, Instead, MissingClay, Shortfall } from '../app/seek-shortfall.ts';
import { labUnder } from '../core/colour/adaptation.ts';
import { colourName } from '../core/colour/colour-name.ts';
import type { Lab } from '../core/colour/triples.ts';
import { formatRecipe, type Recipe } from '../core/recipe/notation.ts';
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

export function soughtText(
  sought: Sought,
  aim: Aim,
  question: SeekQuestion,
  screen: Screen,
): string {
  const { viewing, otherViewings, tolerance } = question;
  const house = labUnder(aim.lab, viewing, { light: 'D50', observer: 2 });
  const lines = [
    `Which whole parts give ${plain(aim.written)}?`,
    '',
    `  ${swatch(screen, house)}${colourName(house).name}, ${labText(aim.lab)}${isShown(house) ? '' : ` ${NOT_SHOWN}`}`,
    ...aim.notes.map((note) => `  ${plain(note)}`),
    '',
  ];
  const nothing = sought.recipes.length === 0;
  if (nothing && sought.proven) lines.push('  No recipe keeps to all of this.');
  if (sought.shortfall !== undefined) {
    lines.push(...shortfallLines(sought.shortfall, question, colourName(house).name), '');
  }
  lines.push(...recipeLines(sought.recipes, house, screen));
  if (sought.letDown !== undefined) lines.push('', ...letDownLines(sought.letDown));
  lines.push(...alternativeLines(sought), '');
  const lights = [viewing, ...(otherViewings ?? [])].map(({ light }) => light);
  const under =
    lights.length > 1
      ? `the worst of ${listed(lights)}, ${viewing.observer} degrees`
      : `${viewing.light}, ${viewing.observer} degrees`;
  lines.push(
    `${certainty(sought)} Distances and ± in dE00 under ${under}; near enough is ${tolerance}.`,
  );
  if (!isShown(house) || sought.recipes.some(({ shown }) => !isShown(shown))) {
    lines.push(NOT_SHOWN_NOTE);
  }
  return `${lines.join('\n')}\n`;
}

function certainty({ proven, total, tried, searchMs }: Sought): string {
  const seconds = (searchMs / 1000).toFixed(1);
  if (proven) {
    return `The best of all ${total.toLocaleString('en')} recipes: ${tried.toLocaleString('en')} tried, the rest proven worse, ${seconds} s.`;
  }
  return `Stopped after ${seconds} s: the best so far, not proven; better ones may exist.`;
}

/** Two lines a recipe, so that aim and prediction touch along a tall edge. */
function recipeLines(recipes: readonly FoundRecipe[], aim: Lab, screen: Screen): string[] {
  const firsts = columns(
    recipes.map((r, i) => [
      String(i + 1),
      recipeText(r),
      `${r.dE00.toFixed(1)} ± ${r.plusMinus.toFixed(1)}${isShown(r.shown) ? '' : ` ${NOT_SHOWN}`}`,
      `${chanceText(r.chance)}`,
    ]),
    'rlll',
  );
  const indent = ' '.repeat(String(recipes.length).length);
  return recipes.flatMap((r, i) => {
    const tiles = swatch(screen, aim, r.shown);
    return [`  ${tiles}${firsts[i]}`, `  ${tiles}${indent}  ${r.verdict.sentence}`];
  });
}

function recipeText({ parts, times }: FoundRecipe): string {
  return `${plain(formatRecipe(parts))}${times === undefined ? '' : `, ${times} times over`}`;
}

/** Chance of coming out near enough, in steps no finer than it is known. */
function chanceText(chance: number): string {
  const tenths = Math.round(10 * chance);
  if (tenths <= 0) return 'hardly a chance';
  return tenths >= 10 ? 'almost sure' : `${tenths} in 10`;
}

function alternativeLines({ alternatives }: Sought): string[] {
  if (alternatives.length === 0) return [];
  const rows = columns(
    alternatives.map(({ reason, recipe }) => [reason, recipeText(recipe), recipe.dE00.toFixed(1)]),
    'lll',
  );
  return ['', '  Also worth a look:', ...rows.map((row) => `    ${row}`)];
}

function letDownLines({ instead, strong, moves, first, letDownParts, others, dE00 }: LetDownFound) {
  const lines = [
    `  ${plain(formatRecipe(instead))} is nearer, but half a part of ${plain(strong)} moves it by ${moves.toFixed(1)}.`,
  ];
  if (first === undefined || others === undefined || dE00 === undefined) {
    return [...lines, '  No let-down keeps to the rule and comes nearer.'];
  }
  const rest = others.length === 0 ? '' : ` + ${plain(formatRecipe(others))}`;
  return [
    ...lines,
    `  Let it down first: ${plain(formatRecipe(first))}. Then ${letDownParts} of that${rest}: ${dE00.toFixed(1)} off.`,
  ];
}

function shortfallLines(shortfall: Shortfall, question: SeekQuestion, name: string): string[] {
  const { dE00, sides, helps, insteads, missing } = shortfall;
  const { tolerance } = question;
  const helped = helps.map((help) => `    ${helpText(help, question)}`);
  if (dE00 === undefined) {
    return [...(helped.length > 0 ? ['  What would let one through:'] : []), ...helped];
  }
  const said = saidOf(sides);
  const how = said === '' ? '' : `: ${said} than the aim`;
  const word = verdictWord(dE00);
  const enough = Math.ceil(dE00 * 10 + 1e-9) / 10;
  return [
    `  Nothing comes within ${tolerance}. The nearest is ${dE00.toFixed(1)} off${how}.`,
    '  What would make it a yes:',
    ...helped,
    `    ${missing === undefined ? missingSide(sides[0], name) : missingText(missing)}`,
    ...(word === 'different' ? [] : [`    --tolerance ${enough}, where ${TAKEN[word]} is enough`]),
    ...(insteads.length > 0 ? ['  Or give something up:'] : []),
    ...insteads.map((instead) => `    ${insteadText(instead)}`),
  ];
}

const TAKEN = { same: 'the same', match: 'a match', close: 'close', family: 'the same family' };

function helpText(help: Help, { tolerance }: SeekQuestion): string {
  const { recipe, dE00 } = help;
  const nearer = dE00 <= tolerance ? '' : 'nearer, though not a yes: ';
  return `${optionText(help)}: ${nearer}${plain(formatRecipe(recipe))}, ${dE00.toFixed(1)} off`;
}

function optionText({ kind, of, value }: Help): string {
  switch (kind) {
    case 'parts':
      return `--parts ${value}`;
    case 'parents':
      return `--parents ${value}`;
    case 'only':
      return 'all your clays, without --only';
    case 'mostLines':
      return 'without --most-lines';
    case 'atLeast':
      return `without --at-least of ${plain(of ?? '')}`;
    case 'atMost':
      return `without --at-most of ${plain(of ?? '')}`;
    case 'halfPart':
      return 'without --half-part';
    case 'batchG':
      return 'with more in stock than --batch leaves';
    default:
      return `without --${kind}`;
  }
}

function insteadText({ giveUp, recipe, sides }: Instead): string {
  const said = saidOf(sides);
  return `--give-up ${giveUp}: ${plain(formatRecipe(recipe))}${said === '' ? '' : `, ${said}`}`;
}

function missingText({ name, chroma, dE00 }: MissingClay): string {
  return `a clay near ${name}, chroma ${Math.ceil(chroma)} or more: the aim would be ${dE00.toFixed(1)} off`;
}

/** What lies on the side that the best recipe misses. */
function missingSide(side: Side | undefined, name: string): string {
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

function saidOf(sides: readonly Side[]): string {
  return listed(sides.filter(({ size }) => size >= 0.8).map(sideInWords));
}

function listed(words: readonly string[]): string {
  if (words.length < 2) return words.join('');
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

export function soughtJson(sought: Sought, aim: Lab): string {
  const { recipes, alternatives, frontier, shortfall, letDown } = sought;
  const { tried, total, proven, searchMs } = sought;
  const partsOf = (parts: Recipe) =>
    Object.fromEntries(parts.map((term) => [term.parent, term.parts]));
  const recipeJson = ({ parts, lab, dE00, chance, times, priceMinorPerKg }: FoundRecipe) => ({
    parts: partsOf(parts),
    lab,
    dE00,
    chance,
    ...(times === undefined ? {} : { times }),
    ...(priceMinorPerKg === undefined ? {} : { priceMinorPerKg }),
  });
  return JSON.stringify({
    aim,
    recipes: recipes.map(recipeJson),
    alternatives: alternatives.map(({ reason, recipe }) => ({ reason, ...recipeJson(recipe) })),
    frontier: frontier.map(recipeJson),
    ...(shortfall === undefined ? {} : { shortfall }),
    ...(letDown === undefined ? {} : { letDown }),
    tried,
    total,
    proven,
    searchMs,
  });
}
