import { codeKey, lookalikeKey } from '../../core/notation/codes.ts';
import { nearestNames } from '../../core/notation/nearest-name.ts';
import { clayKey, parseRecipe, type Recipe } from '../../core/notation/notation.ts';
import type { Parts, TileTarget } from '../../domain/changes/accept-tiles.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import type { State } from './photo-session-store.ts';

/** What the text of a tile means in the book. */
export type Target =
  | { readonly is: 'nothing' }
  | Exclude<TileTarget, { readonly is: 'new block' }>
  | (Extract<TileTarget, { readonly is: 'new block' }> & { readonly saidHere: boolean })
  | {
      readonly is: 'unknown';
      readonly title: string;
      /** Similar words that are known; for a recipe, those for its first unknown clay. */
      readonly near: readonly string[];
      /** Clays of a recipe that the book does not know. */
      readonly missing: readonly string[];
      /** Parts of the recipe, should its clays become known. */
      readonly parts?: Parts;
      readonly code?: string;
    };

/** The records a word may mean; mixes and tiles only as far as they were looked up. */
export interface KnownRecords {
  readonly blocks: readonly RecordOf<'block'>[];
  readonly nameOfBlock: (id: string) => string;
  readonly mixes: readonly RecordOf<'mix'>[];
  readonly tiles: readonly RecordOf<'tile'>[];
  /** The raw tile at the same place of the tray, saved under the same text. */
  readonly rawId?: string;
  /** Whether a tile was read in a state before. */
  readonly isRead: (tileId: string, state: State) => boolean;
}

/** Most suggestions for an unknown word. */
const MOST_NEAR = 4;

/** The words to look up in the book for the text of a tile: the text, and the clays of a recipe. */
export function wordsToLookUp(text: string): readonly string[] {
  const { body } = split(text);
  const clays = recipesOf(body).flatMap((recipe) => recipe.map(({ clay }) => clay));
  // K7 and K 7 are one code, and the book is searched by words.
  const words = [body, ...clays].flatMap((word) => [word.trim(), codeKey(word)]);
  const alone = new Map(words.map((word) => [word.toLowerCase(), word]));
  return [...alone.values()].filter((word) => word !== '');
}

/**
 * What a code, a name or a recipe of a tile means; `K12 = 5 Kelp + 2 Foam` gives a recipe its code.
 * Holds:   codes come first, of tiles before mixes before blocks; by name alone a tile is the same one only
 *          if it has no reading in that state yet, otherwise a new tile is meant; a raw tile of the same
 *          place comes before all
 */
export function targetOf(text: string, state: State, known: KnownRecords): Target {
  const { code, body } = split(text);
  if (body === '') return { is: 'nothing' };
  const raw = known.tiles.find(({ id }) => id === known.rawId && !known.isRead(id, state));
  if (raw !== undefined) return sameTile(raw);
  const key = codeKey(body);
  const byCode = <T extends { readonly body: { readonly code?: string } }>(records: readonly T[]) =>
    records.find((one) => one.body.code !== undefined && codeKey(one.body.code) === key);
  const byName = <T extends { readonly body: { readonly name?: string } }>(records: readonly T[]) =>
    records.filter(({ body: { name } }) => name !== undefined && clayKey(name) === clayKey(body));
  if (code === undefined) {
    const tile = byCode(known.tiles);
    if (tile !== undefined) return sameTile(tile);
    const mix = byCode(known.mixes);
    if (mix !== undefined) return newTileOfMix(mix);
    const block = byCode(known.blocks) ?? blockNamed(body, known);
    const unread = byName(known.tiles).find(({ id }) => !known.isRead(id, state));
    if (unread !== undefined) return sameTile(unread);
    if (block !== undefined) return newTileOfBlock(block, known);
    const [named] = byName(known.mixes);
    if (named !== undefined) return newTileOfMix(named);
  }
  const recipe = recipeOf(body, known);
  const isRecipe = recipe !== undefined && (code !== undefined || recipe.length > 1);
  if (isRecipe) return ownParts(recipe, body, code, known);
  const words = [
    ...known.blocks.map(({ id }) => known.nameOfBlock(id)),
    ...[...known.mixes, ...known.tiles].flatMap((one) => [one.body.code, one.body.name]),
  ].filter((word) => word !== undefined);
  const alike = words.filter((word) => lookalikeKey(word) === lookalikeKey(body));
  const begun = words.filter((word) => clayKey(word).startsWith(clayKey(body)));
  const near = [...new Set([...alike, ...begun, ...nearestNames(body, words)])].slice(0, MOST_NEAR);
  return { is: 'unknown', title: body, near, missing: [] };
}

function split(text: string): { readonly code?: string; readonly body: string } {
  // In quotes it belongs to a name.
  const at = text.replace(/"[^"]*"/g, (name) => '_'.repeat(name.length)).indexOf('=');
  const code = at < 0 ? '' : text.slice(0, at).trim();
  const body = text.slice(at + 1).trim();
  return code === '' ? { body } : { code, body };
}

/** A recipe without plus signs: `2 Kelp 1 Foam`. */
const PARTS_ALONE = /^\d[^+"()]*$/;
const NEXT_PART = /\s+(?=\d+(?:[.,]\d+)?\s+\p{L})/gu;

/** What may be meant as a recipe: the text as typed, and with plus signs added. */
function recipesOf(text: string): readonly Recipe[] {
  const parted = PARTS_ALONE.test(text) ? text.replace(NEXT_PART, ' + ') : text;
  return [...new Set([text, parted])].flatMap((words) => {
    try {
      return [parseRecipe(words)];
    } catch {
      // Not a recipe, so it is a code or a name.
      return [];
    }
  });
}

/** The recipe whose clays are known, as a name may contain a number. */
function recipeOf(text: string, known: KnownRecords): Recipe | undefined {
  const recipes = recipesOf(text);
  const isKnown = ({ clay }: { readonly clay: string }) =>
    (blockNamed(clay, known) ?? mixNamed(clay, known)) !== undefined;
  return recipes.find((recipe) => recipe.every(isKnown)) ?? recipes.at(-1);
}

function sameTile(tile: RecordOf<'tile'>): Target {
  return { is: 'tile', tile, title: tile.body.code ?? tile.body.name ?? 'a tile' };
}

function newTileOfMix(mix: RecordOf<'mix'>): Target {
  const { code, name, basis } = mix.body;
  return {
    is: 'new tile',
    of: { kind: 'mix', id: mix.id },
    basis,
    ...(code === undefined ? {} : { code }),
    title: name ?? code ?? 'a mix',
  };
}

function newTileOfBlock({ id }: RecordOf<'block'>, { nameOfBlock }: KnownRecords): Target {
  return { is: 'new tile', of: { kind: 'block', id }, basis: 'volume', title: nameOfBlock(id) };
}

function blockNamed(
  name: string,
  { blocks, nameOfBlock }: KnownRecords,
): RecordOf<'block'> | undefined {
  const key = clayKey(name);
  const whole = blocks.find(({ id }) => clayKey(nameOfBlock(id)) === key);
  // Two lines may have a block of the same name; the name alone then means neither.
  const short = blocks.filter(({ body }) => clayKey(body.name) === key);
  return whole ?? (short.length === 1 ? short[0] : undefined);
}

function mixNamed(word: string, { mixes }: KnownRecords): RecordOf<'mix'> | undefined {
  return mixes.find(
    ({ body: { code, name } }) =>
      (code !== undefined && codeKey(code) === codeKey(word)) ||
      (name !== undefined && clayKey(name) === clayKey(word)),
  );
}

function ownParts(
  recipe: Recipe,
  title: string,
  code: string | undefined,
  known: KnownRecords,
): Target {
  const missing: string[] = [];
  const parts = recipe.flatMap(({ clay, parts: count }): Parts => {
    const block = blockNamed(clay, known);
    if (block !== undefined) return [{ of: { kind: 'block', id: block.id }, parts: count }];
    const mix = mixNamed(clay, known);
    if (mix !== undefined) return [{ of: { kind: 'mix', id: mix.id }, parts: count }];
    missing.push(clay);
    return [{ of: { kind: 'new block', name: clay }, parts: count }];
  });
  const coded = code === undefined ? {} : { code };
  if (missing.length > 0) {
    const names = known.blocks.map(({ id }) => known.nameOfBlock(id));
    const near = nearestNames(missing[0], names);
    // A recipe of one clay is a plain tile with its code.
    return recipe.length === 1
      ? { is: 'unknown', title: missing[0], near, missing: [], ...coded }
      : { is: 'unknown', title: code ?? title, near, missing, parts, ...coded };
  }
  return { is: 'parts', parts, title: code ?? title, ...coded };
}
