import type { ClayModel } from '../clay/clay-model.ts';
import { lowerTimes, solveUpper, startsOf } from '../clay/design-space.ts';
import { ABSORPTION_LATENTS, STRENGTH_LATENT } from '../clay/prior.ts';
import type { WholeParts } from '../mixes/whole-parts.ts';
import { formatRecipe } from '../notation/notation.ts';

/** Which unknown a tile shows most about. */
export interface Reason {
  /** Which of the tile's clays; the first where the reason is the mix itself. */
  readonly clay: number;
  /**
   * colour: which light it absorbs; scattering: how much it scatters, band by band; strength: how
   * much of both one part brings; mix: how this very mix departs from simple addition.
   */
  readonly what: 'colour' | 'scattering' | 'strength' | 'mix';
}

/**
 * The unknowns whose better knowledge lowers the ± of the targets most.
 * Shape:   three whitened directions that the tile shows, and the weight of each in the targets
 * Method:  the gain is the sum over unknowns of (how far the tile moves one) times (how much the
 *          targets depend on that move); summed by clay and kind, it is split without remainder
 */
export function reasonOf(
  { factor }: Pick<ClayModel, 'factor'>,
  parts: WholeParts,
  shown: readonly Float64Array[],
  weighed: readonly Float64Array[],
): Reason {
  const starts = startsOf(factor);
  const gains = new Float64Array(shown[0].length);
  shown.forEach((direction, k) => {
    const moved = solveUpper(factor, direction);
    const hung = lowerTimes(factor, weighed[k]);
    for (let i = 0; i < gains.length; i++) gains[i] += moved[i] * hung[i];
  });
  const sum = (from: number, to: number) =>
    gains.subarray(from, to).reduce((total, gain) => total + gain, 0);
  const unknowns = factor.sizes.reduce((total, size) => total + size, 0);
  const byClay = parts.map(({ clay }) => {
    const from = starts[factor.order.indexOf(clay)];
    const kinds = [
      { what: 'colour', gain: sum(from, from + ABSORPTION_LATENTS) },
      { what: 'scattering', gain: sum(from + ABSORPTION_LATENTS, from + STRENGTH_LATENT) },
      { what: 'strength', gain: gains[from + STRENGTH_LATENT] },
    ] as const;
    const { what } = kinds.reduce((a, b) => (b.gain > a.gain ? b : a));
    return { clay, what, gain: sum(from, from + STRENGTH_LATENT + 1) };
  });
  const most = byClay.reduce((a, b) => (b.gain > a.gain ? b : a));
  if (sum(unknowns, gains.length) > most.gain) return { clay: parts[0].clay, what: 'mix' };
  return { clay: most.clay, what: most.what };
}

/** Why this tile helps, in one sentence that includes the recipe. */
export function sentenceOf(
  { clays }: Pick<ClayModel, 'clays'>,
  parts: WholeParts,
  { clay, what }: Reason,
  before: number,
  after: number,
): string {
  const recipe = formatRecipe(parts.map(({ clay, parts }) => ({ clay: clays[clay].name, parts })));
  const { name } = clays[clay];
  const unsure = {
    colour: `what ${name} does to the colour of a mix is least known`,
    scattering: `how much ${name} scatters is least known`,
    strength: `how strong ${name} is in a mix is least known`,
    mix: 'how these go together is least known',
  }[what];
  const shows = what === 'mix' ? 'the mix itself' : tileIn({ clays }, parts, clay);
  // A drop that is too small for one digit is shown with two.
  const digits = after.toFixed(1) === before.toFixed(1) ? 2 : 1;
  const drop = `within ± ${after.toFixed(digits)} instead of ± ${before.toFixed(digits)}`;
  return `${recipe}: ${unsure}, and ${shows} shows it; mixes come out ${drop}.`;
}

function tileIn({ clays }: Pick<ClayModel, 'clays'>, parts: WholeParts, clay: number): string {
  if (parts.length === 1) return 'a tile of it alone';
  const others = parts.filter((part) => part.clay !== clay);
  const classes = others.map((part) => clays[part.clay].clayClass);
  const own = clays[clay].clayClass;
  if (others.length === 1 && classes[0] === 'white') return 'a paled tile';
  if (others.length === 1 && classes[0] === 'black' && own !== 'white') return 'a darkened tile';
  const names = others.map((part) => clays[part.clay].name);
  const last = names.pop();
  return `a tile with ${names.length === 0 ? '' : `${names.join(', ')} and `}${last}`;
}
