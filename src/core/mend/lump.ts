import type { WholeParts } from '../mixes/whole-parts.ts';

/** A reading of a lump of clay that came out wrong. */
export interface LumpReading {
  /** Under the light and observer of the question. */
  readonly lab: readonly [number, number, number];
  /** Variance of the reading on each axis, CIELAB units squared. */
  readonly variance: number;
}

/**
 * Exchanged counts are named where the reading makes them so likely: of 120 lumps with exchanged counts that
 * moved the colour by 4, 88 are named rightly and 5 wrongly, of 120 others 3 (bench/mend.ts --slips). A piece
 * that was left out moves the colour too little to be named.
 */
const SURE_OF_SLIP = 0.5;

/** What the lump may truly hold. */
export interface LumpCase {
  readonly kind: 'as said' | 'exchanged' | 'one missed';
  /** Pieces of each clay, by index into the model. */
  readonly lump: WholeParts;
  /** The clays whose counts were exchanged, or the one of which a piece was missed. */
  readonly clays: readonly number[];
  /** Chance before the lump was looked at. */
  readonly prior: number;
}

/** The case that is named to the user: exchanged counts that the reading makes likely; else none. */
export function namedCase<T extends LumpCase & { readonly chance: number }>(
  cases: readonly T[],
): T | undefined {
  const [likely] = cases;
  return likely?.kind === 'exchanged' && likely.chance >= SURE_OF_SLIP ? likely : undefined;
}

/** How often pieces are counted wrongly: common practice, no source. */
const WRONG = { exchanged: 0.06, missed: 0.06 } as const;

/**
 * What a lump may hold when it is said to hold some pieces: just these; the counts of two clays
 * exchanged; one piece of a clay missed.
 * Shape:   pieces counted (whole for a count to be missed), all times `scale` -> cases whose priors add up to 1
 */
export function casesOf(said: WholeParts, scale: number): LumpCase[] {
  const scaled = (lump: WholeParts) =>
    lump.map(({ clay, parts }) => ({ clay, parts: parts * scale }));
  const exchanged: Omit<LumpCase, 'prior'>[] = [];
  const missed: Omit<LumpCase, 'prior'>[] = [];
  said.forEach((one, i) => {
    said.slice(i + 1).forEach((other) => {
      if (one.parts === other.parts) return;
      const lump = said.map((part) => {
        if (part === one) return { clay: one.clay, parts: other.parts };
        return part === other ? { clay: other.clay, parts: one.parts } : part;
      });
      exchanged.push({ kind: 'exchanged', lump: scaled(lump), clays: [one.clay, other.clay] });
    });
    if (!Number.isInteger(one.parts) || one.parts < 1 || said.length === 1) return;
    const lump = said
      .map((part) => (part === one ? { clay: one.clay, parts: one.parts - 1 } : part))
      .filter(({ parts }) => parts > 0);
    missed.push({ kind: 'one missed', lump: scaled(lump), clays: [one.clay] });
  });
  const shared = (cases: typeof exchanged, all: number): LumpCase[] =>
    cases.map((one) => ({ ...one, prior: all / cases.length }));
  const wrong = [...shared(exchanged, WRONG.exchanged), ...shared(missed, WRONG.missed)];
  const rest = 1 - wrong.reduce((sum, { prior }) => sum + prior, 0);
  return [{ kind: 'as said', lump: scaled(said), clays: [], prior: rest }, ...wrong];
}
