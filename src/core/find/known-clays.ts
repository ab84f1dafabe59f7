import type { Fault } from '../clay/explain/fault.ts';
import type { Predictor } from '../clay/predict.ts';
import { withRoughClays } from '../clay/rough-clays.ts';
import type { TileReading } from '../clay/tile-reading.ts';
import { colourOfName } from '../colour/colour-of-name.ts';
import type { Lab } from '../colour/triples.ts';
import { AppError } from '../errors.ts';
import type { Basis } from '../mixes/mix-graph.ts';
import { nearestNames } from '../notation/nearest-name.ts';
import { clayKey, type Recipe } from '../notation/notation.ts';

/** Clays ready to predict, under the names used in a question and its answer. */
export interface KnownClays {
  readonly predictor: Predictor;
  /** By index into the model; no two are the same by `clayKey`. */
  readonly names: readonly string[];
  /** Index of a clay by `clayKey` of its name. */
  readonly indexOf: ReadonlyMap<string, number>;
  /** Whether the parts of their tiles count volume or weight. */
  readonly basis: Basis;
  /** Clays that recipes may use, as indices; all when absent. */
  readonly usable?: readonly number[];
  /** What may be wrong with the tiles, while nobody has settled that; the likeliest first. */
  readonly explanations?: readonly OpenExplanation[];
  /** Clays of which no tile was measured, as indices: what they mix to is only roughly known. */
  readonly rough?: ReadonlySet<number>;
  readonly hints: ClayHints;
}

/** An explanation of what may be wrong with the tiles, with its words and the hashes of its readings. */
export interface OpenExplanation {
  readonly sentence: string;
  readonly probability: number;
  readonly tiles: readonly string[];
  readonly hashes: readonly string[];
  readonly faults: readonly Fault[];
}

/**
 * What to do about an error, in the words of the shell that asks: an option, a column, a screen.
 */
export interface ClayHints {
  /** What the clays are called together: "the clays of studio.json". */
  readonly all: string;
  /** Where to find the list of all their names. */
  readonly names: string;
  /** Where the line of a clay is entered. */
  readonly line: string;
  /** The same, where a word was perhaps meant as a line. */
  readonly perhapsLine: string;
  /** Where to name a stock, count grams and enter densities. */
  readonly stock: string;
  readonly grams: string;
  readonly density: string;
}

/** What the user has decided about buying a block, whatever could be mixed for it. */
export const BUYING_CHOICES = ['always', 'never'] as const;
export interface BuyingChoice {
  readonly choice: (typeof BUYING_CHOICES)[number];
  /** In the user's words. */
  readonly why?: string;
}

/** The stock entry of one clay. */
export interface StockRow {
  readonly name: string;
  readonly line?: string;
  /** opaque, translucent, pearl ...; where absent, its tiles say it. */
  readonly clayType?: string;
  readonly onHandG?: number;
  /** Price of a pack divided by its grams, so it need not be whole. */
  readonly priceMinorPerG?: number;
  /** Of its price, also where prices of several currencies are left out. Source: ISO 4217. */
  readonly currency?: string;
  /** Grams of one package. */
  readonly packageG?: number;
  readonly buying?: BuyingChoice;
  /** g/cm3. */
  readonly density?: number;
  /** Its colour, where no tile was learned: CIELAB D50, 2 degrees, and its standard deviation an axis. */
  readonly rough?: { readonly lab: Lab; readonly spread: number };
}

/** Opens clays under their names, in the order of the model. */
export function knownClays(
  predictor: Predictor,
  names: readonly string[],
  basis: Basis,
  hints: ClayHints,
): KnownClays {
  const indexOf = new Map(names.map((name, i) => [clayKey(name), i]));
  return { predictor, names, indexOf, basis, hints };
}

/**
 * The same with the clays of a stock that were not learned: by their rough colour, else by the colour that
 * their name says. A clay of which neither is known stays out.
 */
export function withStockClays(clays: KnownClays, stock: readonly StockRow[]): KnownClays {
  const fresh = new Map<string, TileReading>();
  for (const { name, rough = colourOfName(name) } of stock) {
    const key = clayKey(name);
    if (rough === undefined || clays.indexOf.has(key) || fresh.has(key)) continue;
    fresh.set(key, roughReading(name, rough.lab, rough.spread));
  }
  if (fresh.size === 0) return clays;
  const added = [...fresh.values()].map(({ tile }) => tile);
  const names = [...clays.names, ...added];
  const indices = added.map((_, i) => clays.names.length + i);
  return {
    ...clays,
    predictor: withRoughClays(clays.predictor, [...fresh.values()]),
    names,
    indexOf: new Map(names.map((name, i) => [clayKey(name), i])),
    ...(clays.usable === undefined ? {} : { usable: [...clays.usable, ...indices] }),
    rough: new Set([...(clays.rough ?? []), ...indices]),
  };
}

/** One rough colour of a clay alone. */
function roughReading(clay: string, lab: Lab, spread: number): TileReading {
  return {
    tile: clay,
    parts: [{ clay, share: 1 }],
    colour: { kind: 'lab', lab, light: 'D50', observer: 2 },
    spread,
    geometry: 'excluded',
    partsSpread: 0,
  };
}

/** Index of a clay by name. Refuses: a name the model does not hold -> clay-unknown. */
export function clayIndex(clays: KnownClays, name: string, where = ''): number {
  const { indexOf, names, hints } = clays;
  const index = indexOf.get(clayKey(name));
  if (index !== undefined) return index;
  const nearest = nearestNames(name, names);
  const list = names.length <= 12 ? names.join(', ') : hints.names;
  throw new AppError({
    code: 'clay-unknown',
    kind: 'bad-input',
    detail: `${where}"${name.slice(0, 80)}" is not among ${hints.all}.`,
    hint:
      nearest.length > 0
        ? `Did you mean ${nearest.join(' or ')}?`
        : `Known clays: ${list}. Update the model with a tile of the new clay.`,
  });
}

/** Name of a clay by its index. */
export function clayName({ names }: KnownClays, clay: number): string {
  return names[clay];
}

/** Parts by index as a recipe in names, most parts first. */
export function recipeOf(
  clays: KnownClays,
  parts: readonly { readonly clay: number; readonly parts: number }[],
): Recipe {
  return parts
    .map(({ clay, parts }) => ({ clay: clayName(clays, clay), parts }))
    .sort((one, other) => other.parts - one.parts);
}
