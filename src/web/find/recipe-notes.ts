import { CLAY_EFFECTS, effectInWords } from '../../core/find/flat-clays.ts';
import { sentenceStart } from '../../core/sentence-start.ts';
import { verdictLimit } from '../../core/verdict/verdict.ts';
import type { OpenClays } from '../book/clays.ts';
import { batchAmounts } from './batch-amounts.ts';
import type { Studio } from './studio.ts';
import type { Hand } from './use-hand.ts';

/** A clay whose own ± is wider than this is known only roughly, dE00. */
const ROUGHLY = verdictLimit('close');

/** What to know before mixing a recipe: what ran out or changed, what is known only roughly. */
export function recipeNotes(
  hand: Hand,
  studio: Studio,
  clays: OpenClays,
  batchG: number | undefined,
): readonly string[] {
  const used = hand.filter(({ parts }) => parts > 0);
  const needed = batchAmounts(used, studio, clays.worker.basis, batchG);
  const notes: string[] = [];
  const effects = new Set<string>();
  for (const { blockId } of used) {
    const clay = studio.byBlock.get(blockId);
    if (clay === undefined) continue;
    const { name, onHandG } = clay;
    if (onHandG !== undefined && onHandG <= 0) {
      notes.push(clay.isSold ? `${name} ran out` : `${name} ran out and is no longer sold`);
    } else if (onHandG !== undefined && onHandG < (needed.get(blockId) ?? 0)) {
      notes.push(`${name}: only ${Math.floor(onHandG)} g left`);
    } else if (!clay.isSold) notes.push(`${name} is no longer sold`);
    if (clay.looksDifferent) notes.push(`your newest ${name} looks different`);
    if (!clays.rough && (clays.byBlock.get(blockId)?.plusMinus ?? 0) > ROUGHLY) {
      notes.push(`${name} is known only roughly`);
    }
    effects.add(clay.clayType);
  }
  const does = effectInWords(CLAY_EFFECTS.filter((effect) => effects.has(effect)));
  return [...(does === '' ? [] : [does]), ...notes].map(sentenceStart);
}
