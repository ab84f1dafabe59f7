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

/** The reason, and a sentence for it. */
export function whyBought(facts: BoughtFacts): {
  readonly kind: WhyBought;
  readonly sentence: string;
} {
  const { closest, tolerance, instead } = facts;
  if (facts.pinned) {
    const because = facts.reason === undefined ? '' : `: ${facts.reason}`;
    return { kind: 'always', sentence: `You always buy this block${because}.` };
  }
  if (closest === undefined || closest.dE00 > tolerance) {
    const far = farInWords(facts);
    if (facts.does !== '') {
      return { kind: 'effect', sentence: `It does more than colour: ${facts.does}. ${far}` };
    }
    if (facts.notFlat !== undefined) {
      return {
        kind: 'effect',
        sentence: `${far} Closer only with a clay that is not flat: ${facts.notFlat}.`,
      };
    }
    if (facts.moreClays !== undefined) {
      return {
        kind: 'more-clays',
        sentence: `It takes more than ${facts.mostClays} clays: ${facts.moreClays}.`,
      };
    }
    return { kind: 'too-far', sentence: far };
  }
  if (instead.length > 0) {
    const others = instead.slice(0, 3).join(' or ');
    return {
      kind: 'used',
      sentence: `${usedInWords(facts.usedBy)} You could buy ${others} instead and mix this one.`,
    };
  }
  if (facts.usedBy > 0) return { kind: 'used', sentence: usedInWords(facts.usedBy) };
  return {
    kind: 'no-other',
    sentence: `It could be mixed (${closest.words}), but that would take another block in its place.`,
  };
}

function usedInWords(usedBy: number): string {
  if (usedBy === 0) return 'No recipe here uses it.';
  return usedBy === 1 ? 'One of the mixes needs it.' : `${usedBy} of the mixes need it.`;
}

/** How the closest recipe falls short: "The closest mix comes out duller, 5.2 away: 3 Foam + 1 Kelp." */
function farInWords({ closest, lab }: BoughtFacts): string {
  if (closest === undefined) return 'Nothing else can be mixed for it.';
  const [side] = sidesOf(lab, closest.lab);
  const way = side === undefined ? '' : `comes out ${sideInWords(side)}, and `;
  return `The closest mix ${way}is ${closest.dE00.toFixed(1)} away: ${closest.words}.`;
}
