import type { z } from 'zod';
import type { wantedSchema } from '../../api/clay-routes.ts';
import { AppError } from '../../core/errors.ts';
import { formatRecipe, parseRecipe, type Recipe } from '../../core/notation/notation.ts';
import { sentenceStart } from '../../core/sentence-start.ts';
import type { RecipeFileRow } from '../../domain/file-rows.ts';
import { titleOf } from '../../domain/index-fields.ts';
import {
  type GetMany,
  mixNode,
  partsOfBlocks,
  resolverFor,
} from '../../domain/mix-graph-of-book.ts';
import type { NamedPowder } from '../../domain/powders.ts';
import type { BookRecord, RecordOf } from '../../domain/records/record.ts';
import type { Book } from '../book.ts';
import { notInBook } from '../errors.ts';

export type WantedMix = z.output<typeof wantedSchema>;

/** A mix in the terms of a clay model, with the powders that the model leaves out. */
export interface RecipeWanted extends Pick<RecipeFileRow, 'of' | 'written' | 'basis'> {
  readonly powders: readonly NamedPowder[];
}

/**
 * Mixes asked of a clay model, down to the names the model has for its clays, in the basis of the model.
 * Refuses: a mix that is not there -> not-in-book; one that does not resolve -> mix-unresolved; a block
 *          the model was not learned with -> clay-unknown (bad-input)
 * Holds:   powders come with the recipe by their names: the model knows no effect of theirs
 */
export async function recipesWanted(
  book: Book,
  model: RecordOf<'clay-model'>,
  wanted: readonly WantedMix[],
): Promise<readonly RecipeWanted[]> {
  const getMany: GetMany = (ids) => book.ports.store.getMany(ids);
  const { resolver, records } = await resolverFor(
    getMany,
    wanted.flatMap((one) =>
      'mixId' in one ? [one.mixId] : 'parts' in one ? one.parts.map(({ of }) => of.id) : [],
    ),
  );
  const names = new Map(
    model.body.clays.flatMap(({ name, blockId }) =>
      blockId === undefined ? [] : [[blockId, name] as const],
    ),
  );
  const { basis } = model.body;
  const resolved = (one: Exclude<WantedMix, { words: string }>) => {
    if ('mixId' in one && records.get(one.mixId)?.kind !== 'mix') throw notInBook(one.mixId);
    const found = resolver.resolve('mixId' in one ? one.mixId : mixNode(one), basis);
    if (found.status !== 'resolved') throw unresolved(found.says);
    const of: Recipe = partsOfBlocks(found).map(({ blockId, parts }) => {
      const clay = names.get(blockId);
      if (clay === undefined) throw notLearned(records.get(blockId), blockId, model);
      return { clay, parts };
    });
    return { of, powders: found.powders };
  };
  const found = wanted.map((one) => ('words' in one ? one : resolved(one)));
  const powders = await getMany(
    found.flatMap((one) => ('words' in one ? [] : one.powders.map(({ id }) => id))),
  );
  return found.map((one) => {
    if ('words' in one) return { of: parseRecipe(one.words), written: one.words, powders: [] };
    const { of } = one;
    const named = one.powders.map(({ id, share }) => ({
      name: powderName(powders.get(id)),
      share,
    }));
    return { of, written: formatRecipe(of), basis, powders: named };
  });
}

function powderName(record: BookRecord | undefined): string {
  return record?.kind === 'powder' ? record.body.name : 'a powder';
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
    detail: `${sentenceStart(title)} is not among the clays of ${titleOf(model)}.`,
    hint: 'Bake a tile of this clay, read the tile, and learn again.',
    more: { id },
  });
}
