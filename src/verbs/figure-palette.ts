import { HOUSE_VIEWING } from '../core/colour/house-viewing.ts';
import type { Lab } from '../core/colour/triples.ts';
import { AppError } from '../core/errors.ts';
import { contentsOf, type FigureColour } from '../core/figure/colour-contents.ts';
import type { KnownClays, StockRow } from '../core/find/known-clays.ts';
import { type MixPrediction, predictViewed } from '../core/find/predicted-mix.ts';
import { USUAL_DENSITY } from '../core/mixes/mix-graph.ts';
import { nearestNames } from '../core/notation/nearest-name.ts';
import { clayKey, parseRecipe, type Recipe } from '../core/notation/notation.ts';
import { claySurface, internalFromMeasured } from '../core/optics/surface.ts';
import type { FigureQuestion } from './figure-question.ts';

/** Colours and clays of a question, under one name each. */
export interface Palette {
  readonly colours: ReadonlyMap<string, FigureColour>;
  readonly isClay: (name: string) => boolean;
  /** The name of a colour, a clay, or a recipe in words. Refuses: a name that is neither -> clay-unknown */
  readonly named: (colour: string) => string;
  /** Of a clay, g/cm3. */
  readonly densityOf: (clay: string) => number;
  /** Of a clay or a colour, g/cm3. */
  readonly densityOfAny: (name: string) => number;
  /** Predicted; undefined where a clay in it has no known colour. */
  readonly labOf: (name: string) => Lab | undefined;
  /** The spelling of a colour or clay of the question; undefined where it is neither. */
  readonly known: (name: string) => string | undefined;
  /** What its body reflects as seen by light inside, 36 bands; undefined where a clay in it has no known colour. */
  readonly insideOf: (name: string) => Float64Array | undefined;
  /** What so much of a clay or colour costs; undefined where a price is not known. */
  readonly minorOf: (name: string, cm3: number) => number | undefined;
  readonly isWeighed: (clay: string) => boolean;
  readonly colourOf: (volumes: ReadonlyMap<string, number>) => Lab | undefined;
  readonly rowOf: (clay: string) => StockRow | undefined;
}

/** What the colours of a question are, and what is known of their clays. */
export function paletteOf(
  clays: KnownClays,
  { colours: asked, stock = [] }: FigureQuestion,
): Palette {
  const rows = new Map(stock.map((row) => [clayKey(row.name), row]));
  const spelling = new Map([
    ...stock.map(({ name }) => [clayKey(name), name] as const),
    ...clays.names.map((name) => [clayKey(name), name] as const),
  ]);
  const colours = new Map<string, FigureColour>();
  const colourKeys = new Map(asked.map(({ name }) => [clayKey(name), name]));
  const spelt = (name: string) =>
    colourKeys.get(clayKey(name)) ?? spelling.get(clayKey(name)) ?? name;
  const add = (name: string, recipe: Recipe, basis: FigureColour['basis']) =>
    colours.set(name, {
      basis,
      parts: recipe.map(({ clay, parts }) => ({ clay: spelt(clay), parts })),
    });
  for (const { name, basis = clays.basis, recipe } of asked) add(name, recipe, basis);
  const rowOf = (clay: string) => rows.get(clayKey(clay));
  const densityOf = (clay: string) => rowOf(clay)?.density ?? USUAL_DENSITY.value;
  const isClay = (name: string) => spelling.has(clayKey(name)) && !colours.has(name);
  // Recipes in words are added while shapes are read, so contents are asked for when they are needed.
  const contents = () => contentsOf(colours, densityOf);
  const known = (name: string) => {
    const own = spelt(name);
    return colours.has(own) || isClay(own) ? own : undefined;
  };
  return {
    colours,
    isClay,
    known,
    insideOf(name) {
      const mix = predictionOf(contents().claysIn(name));
      const surface = claySurface(clays.predictor.model.geometry);
      return mix?.spectrum.map((value) => internalFromMeasured(value, surface));
    },
    minorOf(name, cm3) {
      const volumes = [...contents().claysIn(name)];
      const total = volumes.reduce((sum, [, volume]) => sum + volume, 0);
      let minor = 0;
      for (const [clay, volume] of volumes) {
        const price = rowOf(clay)?.priceMinorPerG;
        if (price === undefined) return undefined;
        minor += (price * densityOf(clay) * cm3 * volume) / total;
      }
      return minor;
    },
    densityOfAny: (name) => contents().densityOf(name),
    labOf: (name) => colourOf(contents().claysIn(name)),
    colourOf,
    rowOf,
    densityOf,
    isWeighed: (clay) => rowOf(clay)?.density !== undefined,
    named(colour) {
      const own = known(colour);
      if (own !== undefined) return own;
      const recipe = parseRecipe(colour);
      const unknown = recipe.find(({ clay }) => !colours.has(spelt(clay)) && !isClay(spelt(clay)));
      if (unknown !== undefined)
        throw unknownColour(unknown.clay, [...spelling.values(), ...colours.keys()]);
      add(colour, recipe, clays.basis);
      return colour;
    },
  };

  function colourOf(volumes: ReadonlyMap<string, number>): Lab | undefined {
    return predictionOf(volumes)?.lab;
  }

  function predictionOf(volumes: ReadonlyMap<string, number>): MixPrediction | undefined {
    const amounts = [...volumes].map(([clay, cm3]) => ({
      clay: clays.indexOf.get(clayKey(clay)),
      amount: clays.basis === 'weight' ? cm3 * densityOf(clay) : cm3,
    }));
    const total = amounts.reduce((sum, { amount }) => sum + amount, 0);
    const shares = amounts.flatMap(({ clay, amount }) =>
      clay === undefined ? [] : [{ clay, share: amount / total }],
    );
    if (shares.length < amounts.length || shares.length === 0) return undefined;
    return predictViewed(clays.predictor, shares, HOUSE_VIEWING);
  }
}

function unknownColour(name: string, known: readonly string[]): AppError {
  const alike = nearestNames(name, known);
  return new AppError({
    code: 'clay-unknown',
    kind: 'bad-input',
    detail: `"${name.slice(0, 80)}" is no clay and no colour of this figure.`,
    hint: alike.length > 0 ? `Did you mean ${alike.join(' or ')}?` : 'Name a clay or a recipe.',
  });
}
