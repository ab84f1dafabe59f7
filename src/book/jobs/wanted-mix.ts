import type { z } from 'zod';
import type { wantedSchema } from '../../api/clay-routes.ts';
import { AppError } from '../../core/errors.ts';
import { formatRecipe, parseRecipe, type Recipe } from '../../core/notation/notation.ts';
import type { RecipeRow } from '../../domain/file-rows.ts';
import { titleOf } from '../../domain/index-fields.ts';
import { mixNode, partsOfBlocks, resolverFor } from '../../domain/mix-graph-of-book.ts';
import type { BookRecord, RecordOf } from '../../domain/records/record.ts';
import type { Book } from '../book.ts';
import { notInBook } from '../errors.ts';

export type WantedMix = z.output<typeof wantedSchema>;

/**
 * Mixes asked of a clay model, down to the names the model has for its clays, in the basis of the model.
 * Refuses: a mix that is not there -> not-in-book; one that does not resolve -> mix-unresolved; a block
 *          the model was not learned with -> clay-unknown (bad-input)
 * Holds:   powders are left out: the model knows no effect of theirs
 */
export async function recipesWanted(
  book: Book,
  model: RecordOf<'clay-model'>,
  wanted: readonly WantedMix[],
): Promise<readonly Omit<RecipeRow, 'place' | 'column'>[]> {
  const { resolver, records } = await resolverFor(
    (ids) => book.ports.store.getMany(ids),
    wanted.flatMap((one) =>
      'mixId' in one ? [one.mixId] : 'parts' in one ? one.parts.map(({ of }) => of.id) : [],
    ),
  );
  const names = new Map(
    model.body.clays.flatMap(({ name, blockId }) =>
      blockId === undefined ? [] : [[blockId, name] as const],
    ),
  );
  return wanted.map((one) => {
    if ('words' in one) return { of: parseRecipe(one.words), written: one.words };
    if ('mixId' in one && records.get(one.mixId)?.kind !== 'mix') throw notInBook(one.mixId);
    const { basis } = model.body;
    const found = resolver.resolve('mixId' in one ? one.mixId : mixNode(one), basis);
    if (found.status !== 'resolved') throw unresolved(found.says);
    const of: Recipe = partsOfBlocks(found).map(({ blockId, parts }) => {
      const clay = names.get(blockId);
      if (clay === undefined) throw notLearned(records.get(blockId), blockId, model);
      return { clay, parts };
    });
    return { of, written: formatRecipe(of), basis };
  });
}

function unresolved(says: string): AppError {
  return new AppError({
    code: 'mix-unresolved',
    kind: 'conflict',
    detail: says,
    hint: 'Look at what the mix is made of.',
  });
}

function notLearned(
  block: BookRecord | undefined,
  id: string,
  model: RecordOf<'clay-model'>,
): AppError {
  const title = block === undefined ? id : titleOf(block);
  return new AppError({
    code: 'clay-unknown',
    kind: 'bad-input',
    detail: `${title.charAt(0).toUpperCase()}${title.slice(1)} is not among the clays of ${titleOf(model)}.`,
    hint: 'Bake a tile of this clay, read the tile, and learn again.',
    more: { id },
  });
}
