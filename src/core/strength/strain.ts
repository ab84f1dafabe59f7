import { invalidInput } from '../errors.ts';
import { checkedSpecimen, type Specimen, thinnestMm } from './specimen.ts';

/** What is done to a specimen, with what it is measured by. */
export const ACTIONS = {
  'ends together': {},
  'pressed flat': {},
  'held as a ring': {},
  'around a rod': { amount: 'rod', unit: 'mm' },
  pinched: {},
  twisted: { amount: 'turns', unit: 'turns' },
  stretched: { amount: 'stretch', unit: 'mm' },
  pushed: { amount: 'push', unit: 'mm' },
  'pressed in the middle': { amount: 'push', unit: 'mm' },
} as const satisfies Readonly<Record<string, { readonly amount?: string; readonly unit?: string }>>;
export type Action = keyof typeof ACTIONS;
export const ACTION_NAMES = Object.keys(ACTIONS) as Action[];

export interface Strain {
  /** Largest stretch at the surface, 0-1. */
  readonly strain: number;
  /** Whether the number itself counts; of a pinch only its rank does. */
  readonly rankOnly: boolean;
  /** Whether the formula still holds; beyond its limit the number is an index. */
  readonly withinLimit: boolean;
}

/**
 * Peak curvature times length of a strip bent by its ends until they touch, free to turn, is twice
 * 4.219; pressed flat together, so that both ends point the same way, twice 5.384.
 * Source: plane elastica [Love1927] ch. 19; the test integrates both shapes independently
 */
const ENDS_TOUCH = 4.2191;
const ENDS_FLAT = 5.3844;

/** Beam theory counts as a measure up to here: common practice, no source. */
const STRAIN_LIMIT = 0.1;
/**
 * A push is small up to this share of the length: the straight-beam formula is then at most 6 % below
 * the bent shape, as the test finds by integration.
 */
const PUSH_LIMIT = 1 / 3;

/**
 * The largest strain of a specimen that is bent, twisted or stretched.
 * Units:   amount in mm: diameter of the rod, stretch or push; in turns for a twist
 * Refuses: an action that the form cannot take, no amount where one is needed -> invalid-input
 * Holds:   thicker is never less strain; more of the same action is never less strain
 * Limits:  `withinLimit` is false past a strain of 0.1 or a push past a third of the length
 * Source:  beam theory [Timoshenko1955]; coil factor [Wahl1963]; worked numbers in the test from [ISO178],
 *          [D790] and [D522]. Shear of a twist or a coil counts
 *          by its principal strain, half the shear
 */
export function strainOf(specimen: Specimen, action: Action, amount?: number): Strain {
  checkedSpecimen(specimen);
  const t = thinnestMm(specimen);
  switch (action) {
    case 'ends together':
      return bent((ENDS_TOUCH * t) / lengthOf(specimen, action));
    case 'pressed flat':
      return bent((ENDS_FLAT * t) / lengthOf(specimen, action));
    case 'held as a ring':
      return bent((Math.PI * t) / lengthOf(specimen, action));
    case 'around a rod': {
      lengthOf(specimen, action);
      return bent(t / (needed(amount, action) + t));
    }
    case 'pinched':
      return { strain: 1, rankOnly: true, withinLimit: false };
    case 'twisted': {
      const length = lengthOf(specimen, action);
      const angle = 2 * Math.PI * needed(amount, action);
      const arm = specimen.form === 'rod' || specimen.form === 'tip' ? t / 2 : t;
      return bent((arm * angle) / length / 2);
    }
    case 'stretched':
      return bent(coilShear(specimen, needed(amount, action)) / 2);
    case 'pushed':
      return pushed(specimen, needed(amount, action));
    case 'pressed in the middle': {
      const length = lengthOf(specimen, action);
      const push = needed(amount, action);
      return limited((6 * t * push) / length ** 2, push <= PUSH_LIMIT * length);
    }
  }
}

/** Actions that a form can take. */
export function actionsOf(form: Specimen['form']): readonly Action[] {
  if (form === 'coil') return ['stretched'];
  if (form === 'petal' || form === 'pointed petal' || form === 'tip') {
    return form === 'tip' ? ['pushed', 'pinched'] : ['pushed', 'pinched', 'twisted'];
  }
  if (form === 'ring') return ['held as a ring'];
  return ACTION_NAMES.filter((one) => one !== 'stretched');
}

function lengthOf(specimen: Specimen, action: Action): number {
  if (actionsOf(specimen.form).includes(action) && 'lengthMm' in specimen) return specimen.lengthMm;
  throw cannot(specimen, action);
}

/**
 * Shear of a coil that is pulled longer.
 * Source: gamma = x d / (pi D^2 n), times (4C - 1)/(4C - 4) + 0.615/C with C = D/d [Wahl1963]
 */
function coilShear(specimen: Specimen, stretchMm: number): number {
  if (specimen.form !== 'coil') throw cannot(specimen, 'stretched');
  const { wireMm, acrossMm, turns } = specimen;
  const index = acrossMm / wireMm;
  const factor = (4 * index - 1) / (4 * index - 4) + 0.615 / index;
  return (factor * stretchMm * wireMm) / (Math.PI * acrossMm ** 2 * turns);
}

/**
 * A part held at its root and pushed sideways at its end.
 * Even width: 1.5 t d / L^2, at the root. Pointed: t d / L^2, the same all along. A round tip that
 * narrows from a to b: 1.5 b d / L^2 at the root; where a is more than 1.5 b, the peak is where the
 * tip is 1.5 b thick, (2/9) a^3 d / (b (a - b) L^2).
 */
function pushed(specimen: Specimen, pushMm: number): Strain {
  const length = lengthOf(specimen, 'pushed');
  const small = pushMm <= PUSH_LIMIT * length;
  const per = pushMm / length ** 2;
  if (specimen.form === 'pointed petal') return limited(specimen.thicknessMm * per, small);
  if (specimen.form !== 'tip') return limited(1.5 * thinnestMm(specimen) * per, small);
  const { rootMm: a, tipMm: b } = specimen;
  return limited(a > 1.5 * b ? ((2 / 9) * a ** 3 * per) / (b * (a - b)) : 1.5 * b * per, small);
}

function bent(strain: number): Strain {
  return limited(strain, true);
}

function limited(strain: number, small: boolean): Strain {
  return { strain, rankOnly: false, withinLimit: small && strain <= STRAIN_LIMIT };
}

function needed(amount: number | undefined, action: Action): number {
  const { amount: what, unit } = ACTIONS[action] as { amount: string; unit: string };
  if (amount !== undefined && Number.isFinite(amount) && amount > 0) return amount;
  throw invalidInput(
    amount === undefined
      ? `How far is missing for "${action}".`
      : `"${action}" cannot be done with ${amount} ${unit}.`,
    `Give the ${what} in ${unit}, more than 0.`,
  );
}

function cannot({ form }: Specimen, action: Action) {
  return invalidInput(
    `A ${form} cannot be "${action}".`,
    `Choose one of: ${actionsOf(form).join(', ')}.`,
  );
}
