import { labUnder } from '../core/colour/adaptation.ts';
import { colourName } from '../core/colour/colour-name.ts';
import type { Lab } from '../core/colour/triples.ts';
import type { FoundRecipe } from '../core/find/find-answer.ts';
import type { PreMixFound } from '../core/find/find-pre-mix.ts';
import { effectInWords } from '../core/find/flat-clays.ts';
import { leftOutInWords } from '../core/find/left-out-in-words.ts';
import { inARow } from '../core/in-a-row.ts';
import { formatRecipe } from '../core/notation/notation.ts';
import type { FindAnswer } from '../verbs/find-answer.ts';
import type { FindQuestion } from '../verbs/find-question.ts';
import { openExplanationLines } from './show-explanations.ts';
import { partsOf, shortfallJson, shortfallLines } from './show-gap-report.ts';
import {
  columns,
  isShown,
  labText,
  money,
  NOT_SHOWN,
  NOT_SHOWN_NOTE,
  plain,
  type Screen,
  swatch,
} from './terminal-output.ts';

export function findText(
  found: FindAnswer,
  question: FindQuestion,
  searchMs: number,
  screen: Screen,
): string {
  const { viewing, otherLights = [], tolerance } = question;
  const { aim } = found;
  const house = labUnder(aim.lab, viewing, { light: 'D50', observer: 2 });
  const lines = [
    `Which whole parts give ${plain(aim.words)}?`,
    '',
    `  ${swatch(screen, house)}${colourName(house).name}, ${labText(aim.lab)}${isShown(house) ? '' : ` ${NOT_SHOWN}`}`,
    ...aim.notes.map((note) => `  ${plain(note)}`),
    '',
  ];
  const nothing = found.recipes.length === 0;
  if (nothing && found.proven) lines.push('  No recipe keeps to all of this.');
  if (found.gapReport !== undefined) {
    lines.push(...shortfallLines(found.gapReport, question, colourName(house).name));
    if (!nothing) lines.push('');
  }
  lines.push(...recipeLines(found.recipes, house, screen));
  if (found.preMix !== undefined) lines.push('', ...preMixLines(found.preMix));
  lines.push(...alternativeLines(found), '');
  if (found.unlearned.length > 0) lines.push(plain(leftOutInWords(found.unlearned)));
  const rough = new Set(found.recipes.flatMap((recipe) => recipe.rough ?? []));
  if (rough.size > 0) {
    lines.push(
      `Only roughly known, from a colour and not from a tile: ${[...rough].map(plain).join(', ')}. Bake a tile of it to be sure.`,
    );
  }
  const lights = [...new Set([viewing.light, ...otherLights])];
  const under =
    lights.length > 1
      ? `the worst of ${inARow(lights)}, ${viewing.observer} degrees`
      : `${viewing.light}, ${viewing.observer} degrees`;
  const half = question.relax === undefined ? '' : `, ${question.relax} counting for half`;
  const chances = nothing
    ? `; close enough is ${tolerance}.`
    : `, then the chance to come within ${tolerance}, which is close enough.`;
  lines.push(
    certainty(found, question, searchMs),
    `Distances and ± in dE00 under ${under}${half}${chances}`,
  );
  if (!isShown(house) || found.recipes.some(({ shown }) => !isShown(shown))) {
    lines.push(NOT_SHOWN_NOTE);
  }
  lines.push(...openExplanationLines(found.explanations));
  return `${lines.join('\n')}\n`;
}

function certainty(
  found: FindAnswer,
  { exhaustive, rules = {} }: FindQuestion,
  searchMs: number,
): string {
  const { proven, total, tried, recipes } = found;
  const seconds = (searchMs / 1000).toFixed(1);
  if (!proven) return unfinished(found, searchMs);
  const against = Object.keys(rules).length > 0 ? ' or against a rule' : '';
  const all = `${total.toLocaleString('en')} recipes`;
  if (recipes.length === 0) return `Looked through all there are, ${seconds} s.`;
  if (total === 1) return `There is no other recipe, ${seconds} s.`;
  if (exhaustive === true) return `The best of all ${all}, each of them tried, ${seconds} s.`;
  // Guesses and bundles may be looked at twice, so a small search tries more than there are.
  return tried >= total
    ? `The best of all ${all}, each tried or proven worse${against}, ${seconds} s.`
    : `The best of all ${all}: ${tried.toLocaleString('en')} tried, the rest proven worse${against}, ${seconds} s.`;
}

/** What a search that was ended early knows of those it did not come to. */
function unfinished({ settled, total, recipes, endedBy }: FindAnswer, searchMs: number): string {
  const seconds = (searchMs / 1000).toFixed(1);
  const ended =
    endedBy === 'time' ? `Its time was over after ${seconds} s` : `Stopped after ${seconds} s`;
  const far = `${settledText(settled)} of all ${total.toLocaleString('en')} recipes tried or proven worse`;
  return recipes.length === 0
    ? `${ended}, with ${far}: nothing found so far, but the search is not finished.`
    : `${ended}, with ${far}: these are the best so far, not proven; better ones may exist.`;
}

/** Never "100 %" of what is not finished. */
function settledText(settled: number): string {
  const percent = Math.min(99.9, 100 * settled);
  return percent >= 10 ? `${Math.floor(percent)} %` : `${percent.toFixed(1)} %`;
}

/** Two lines a recipe, so that aim and prediction touch along a tall edge. */
function recipeLines(recipes: readonly FoundRecipe[], aim: Lab, screen: Screen): string[] {
  const firsts = columns(
    recipes.map((r, i) => [
      String(i + 1),
      recipeText(r),
      `${r.dE00.toFixed(1)} ± ${r.plusMinus.toFixed(1)}${r.rough === undefined ? '' : ', roughly'}${isShown(r.shown) ? '' : ` ${NOT_SHOWN}`}`,
      `${chanceText(r.chance)}`,
    ]),
    'rlll',
  );
  const indent = ' '.repeat(String(recipes.length).length);
  return recipes.flatMap((r, i) => {
    const tiles = swatch(screen, aim, r.shown);
    const effects = r.effects === undefined ? '' : `; ${effectInWords(r.effects)}`;
    return [`  ${tiles}${firsts[i]}`, `  ${tiles}${indent}  ${r.verdict.sentence}${effects}`];
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

function priceText(
  { priceMinorPerKg: own }: FoundRecipe,
  closest: FoundRecipe | undefined,
): string {
  const other = closest?.priceMinorPerKg;
  if (own === undefined || other === undefined) return '';
  return `${money(own)} a kilogram; the closest costs ${money(other)}`;
}

function alternativeLines({ alternatives, recipes }: FindAnswer): string[] {
  if (alternatives.length === 0) return [];
  const rows = columns(
    alternatives.map(({ reason, recipe }) => [
      reason,
      recipeText(recipe),
      recipe.dE00.toFixed(1),
      reason === 'cheapest' ? priceText(recipe, recipes[0]) : '',
    ]),
    'llll',
  );
  return ['', '  Also worth a look:', ...rows.map((row) => `    ${row}`)];
}

function preMixLines(preMix: PreMixFound) {
  const { instead, times, strong, moves, first, preMixParts, others, dE00 } = preMix;
  const over = times > 1 ? `, even ${times} times over` : '';
  const lines = [
    `  ${plain(formatRecipe(instead))} is nearer, but half a part of ${plain(strong)} moves it by ${moves.toFixed(1)}${over}.`,
  ];
  if (first === undefined || others === undefined || dE00 === undefined) {
    return [...lines, '  No pre-mix keeps to --half-part and comes clearly closer.'];
  }
  const rest = others.length === 0 ? ' alone' : ` + ${plain(formatRecipe(others))}`;
  return [
    ...lines,
    `  Make a pre-mix first, in a batch big enough to measure well: ${plain(formatRecipe(first))}. Then ${preMixParts} of that${rest}: ${dE00.toFixed(1)} off.`,
  ];
}

export function findJson(found: FindAnswer, searchMs: number): string {
  const { aim, recipes, alternatives, frontier, gapReport, preMix } = found;
  const { unlearned, tried, total, settled, proven, endedBy, explanations } = found;
  const recipeJson = ({
    parts,
    lab,
    dE00,
    chance,
    effects,
    times,
    priceMinorPerKg,
  }: FoundRecipe) => ({
    parts: partsOf(parts),
    lab,
    dE00,
    chance,
    ...(effects === undefined ? {} : { effects }),
    ...(times === undefined ? {} : { times }),
    ...(priceMinorPerKg === undefined ? {} : { priceMinorPerKg }),
  });
  return JSON.stringify({
    aim: aim.lab,
    recipes: recipes.map(recipeJson),
    alternatives: alternatives.map(({ reason, recipe }) => ({ reason, ...recipeJson(recipe) })),
    frontier: frontier.map(recipeJson),
    ...(gapReport === undefined ? {} : { gapReport: shortfallJson(gapReport) }),
    ...(preMix === undefined ? {} : { preMix: preMixJson(preMix) }),
    unlearned,
    tried,
    total,
    settled,
    proven,
    ...(endedBy === undefined ? {} : { endedBy }),
    ...(explanations === undefined ? {} : { explanations }),
    searchMs,
  });
}

function preMixJson({ instead, first, others, ...rest }: PreMixFound) {
  return {
    ...rest,
    instead: partsOf(instead),
    ...(first === undefined ? {} : { first: partsOf(first) }),
    ...(others === undefined ? {} : { others: partsOf(others) }),
  };
}
