import type { z } from 'zod';
import type { wantedSchema } from '../../api/clay-routes.ts';
import { AppError } from '../../core/errors.ts';
import type { MixNode } from '../../core/mixes/mix-graph.ts';
import { mixResolver } from '../../core/mixes/resolve-mix.ts';
import { formatRecipe, parseRecipe, type Recipe } from '../../core/notation/notation.ts';
import { titleOf } from '../../domain/index-fields.ts';
import type { BookRecord, RecordOf } from '../../domain/records/record.ts';
import type { RecipeRow } from '../../verbs/ports.ts';
import type { Book } from '../book.ts';
import { notInBook } from '../errors.ts';

export type WantedMix = z.output<typeof wantedSchema>;

/** No id holds a space. */
const ASKED = 'mix asked for';

/**
 * Mixes asked of a clay model, down to the names the model has for its clays.
 * Refuses: a mix that is not there -> not-in-book; one that does not resolve -> mix-unresolved; a block
 *          the model was not learned with -> clay-unknown (bad-input)
 */
export async function recipesWanted(
  book: Book,
  model: RecordOf<'clay-model'>,
  wanted: readonly WantedMix[],
): Promise<readonly Omit<RecipeRow, 'place' | 'column'>[]> {
  const starts = wanted.flatMap((one) =>
    'mixId' in one ? [one.mixId] : 'parts' in one ? one.parts.map(({ of }) => of.id) : [],
  );
  const records = await downFrom(book, starts);
  const blocks = new Map(
    [...records.values()].flatMap((record) =>
      record.kind === 'block' ? [[record.id, densityOf(record)] as const] : [],
    ),
  );
  const mixes = new Map<string, MixNode>(
    [...records.values()].flatMap((record) =>
      record.kind === 'mix' ? [[record.id, nodeOf(record.body)] as const] : [],
    ),
  );
  const names = new Map(
    model.body.clays.flatMap(({ name, blockId }) =>
      blockId === undefined ? [] : [[blockId, name] as const],
    ),
  );
  return wanted.map((one) => {
    if ('words' in one) return { of: parseRecipe(one.words), written: one.words };
    const id = 'mixId' in one ? one.mixId : ASKED;
    const asked = 'parts' in one ? new Map(mixes).set(ASKED, nodeOf(one)) : mixes;
    const record = records.get(id);
    if (id !== ASKED && record?.kind !== 'mix') throw notInBook(id);
    const found = mixResolver({ blocks, mixes: asked }).resolve(id);
    if (found.status !== 'resolved') throw unresolved(found.says);
    const whole = found.whole?.parts.every((count) => count <= 1_000_000n)
      ? found.whole.parts.map(Number)
      : undefined;
    const of: Recipe = found.blocks.map((block, i) => {
      const clay = names.get(block.id);
      if (clay === undefined) throw notLearned(records.get(block.id), block.id, model);
      return { clay, parts: whole?.[i] ?? block.share };
    });
    return { of, written: formatRecipe(of), basis: found.basis };
  });
}

/** A mix with everything it is made of, however deep. */
async function downFrom(book: Book, ids: readonly string[]): Promise<Map<string, BookRecord>> {
  const found = new Map<string, BookRecord>();
  for (let next: readonly string[] = [...new Set(ids)]; next.length > 0; ) {
    const records = await book.ports.store.getMany(next);
    const below = new Set<string>();
    for (const record of records.values()) {
      found.set(record.id, record);
      if (record.kind !== 'mix') continue;
      for (const { of } of record.body.parts) if (!found.has(of.id)) below.add(of.id);
    }
    next = [...below].filter((id) => !found.has(id));
  }
  return found;
}

function nodeOf({ basis, parts }: Pick<RecordOf<'mix'>['body'], 'basis' | 'parts'>): MixNode {
  return { basis, parts: parts.map((part) => ({ clay: part.of.id, parts: part.parts })) };
}

function densityOf({ body }: RecordOf<'block'>) {
  const { densityGPerCm3: value, densitySpread = 0 } = body;
  if (value === undefined) return {};
  const low = Math.max(value / 2, value - 2 * densitySpread);
  return { density: { value, low, high: value + 2 * densitySpread } };
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
    hint: 'Bake a tile with it, read it, and learn again.',
    more: { id },
  });
}
