import type { Lab } from '../colour/triples.ts';
import { sideInWords, sidesOf } from '../verdict/verdict.ts';

/** Why a block is on the pile to buy. */
export type WhyBought = 'always' | 'too-far' | 'more-clays' | 'effect' | 'used' | 'no-other';

export interface BoughtFacts {
  readonly pinned: boolean;
  /** Why it is always bought, in the user's words. */
  readonly reason?: string;
  /** Colour of the block, D50 and 2 degrees. */
  readonly lab: Lab;
  /** What the block does besides having a colour, in words; empty for a flat one. */
  readonly does: string;
  /** The closest recipe from all the other blocks, where there is one. */
  readonly closest?: { readonly lab: Lab; readonly dE00: number; readonly words: string };
  /** The closest recipe with a clay that is not flat, in words, where that one is close enough. */
  readonly notFlat?: string;
  /** A recipe of more clays that is close enough, in words. */
  readonly moreClays?: string;
  /** How many mixed blocks have it in their recipe. */
  readonly usedBy: number;
  /** Blocks that could be bought in its place, in words. */
  readonly instead: readonly string[];
  readonly tolerance: number;
  readonly mostClays: number;
}

export interface WhyInWords {
  readonly kind: WhyBought;
  /** A few words, for beside the block and its closest mix: "far duller". */
  readonly short: string;
  readonly sentence: string;
}

/** The reason, in a few words and as a sentence. */
export function whyBought(facts: BoughtFacts): WhyInWords {
  const { closest, tolerance, instead } = facts;
  if (facts.pinned) {
    const because = facts.reason === undefined ? '' : `: ${facts.reason}`;
    const sentence = `You always buy this block${because}.`;
    return { kind: 'always', short: sentence, sentence };
  }
  if (closest === undefined || closest.dE00 > tolerance) {
    const far = farInWords(facts);
    const short = sideOf(facts) ?? 'no mix';
    if (facts.does !== '') {
      return {
        kind: 'effect',
        short: facts.does,
        sentence: `It does more than colour: ${facts.does}. ${far}`,
      };
    }
    if (facts.notFlat !== undefined) {
      return {
        kind: 'effect',
        short,
        sentence: `${far} Closer only with a clay that is not flat: ${facts.notFlat}.`,
      };
    }
    if (facts.moreClays !== undefined) {
      return {
        kind: 'more-clays',
        short: `takes more than ${facts.mostClays} clays`,
        sentence: `It takes more than ${facts.mostClays} clays: ${facts.moreClays}.`,
      };
    }
    return { kind: 'too-far', short, sentence: far };
  }
  const used = facts.usedBy === 1 ? 'in 1 mix' : `in ${facts.usedBy} mixes`;
  if (instead.length > 0) {
    const others = instead.slice(0, 3).join(' or ');
    return {
      kind: 'used',
      short: `${used}; or buy ${others}`,
      sentence: `${usedInWords(facts.usedBy)} You could buy ${others} instead and mix this one.`,
    };
  }
  if (facts.usedBy > 0) return { kind: 'used', short: used, sentence: usedInWords(facts.usedBy) };
  return {
    kind: 'no-other',
    short: 'its mix needs a block more',
    sentence: `It could be mixed (${closest.words}), but that would take another block in its place.`,
  };
}

function usedInWords(usedBy: number): string {
  if (usedBy === 0) return 'No recipe here uses it.';
  return usedBy === 1 ? 'One of the mixes needs it.' : `${usedBy} of the mixes need it.`;
}

/** How the closest recipe falls short: "The closest mix comes out duller, 5.2 away: 3 Foam + 1 Kelp." */
function farInWords(facts: BoughtFacts): string {
  const { closest } = facts;
  if (closest === undefined) return 'Nothing else can be mixed for it.';
  const side = sideOf(facts);
  const way = side === undefined ? '' : `comes out ${side}, and `;
  return `The closest mix ${way}is ${closest.dE00.toFixed(1)} away: ${closest.words}.`;
}

/** How the closest recipe differs from the block: "clearly duller". */
function sideOf({ closest, lab }: BoughtFacts): string | undefined {
  const [side] = closest === undefined ? [] : sidesOf(lab, closest.lab);
  return side === undefined ? undefined : sideInWords(side);
}
