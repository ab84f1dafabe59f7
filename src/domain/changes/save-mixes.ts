import type { BlockLine } from '../../core/notation/shorthand-block.ts';
import type { BookStep } from '../records/change.ts';
import { BOOK_LIMITS } from '../records/limits.ts';
import { make } from './steps.ts';

type MixLine = BlockLine & { readonly kind: 'mix' };

/**
 * Lines of notes as mixes of the book. A mix without a code or a name is called by its line.
 * Shape:   lines as they were read, the kind of each clay they name -> one step a line
 * Holds:   a mix made of the mix of another line names that mix
 */
export function saveMixesSteps(
  lines: readonly BlockLine[],
  kindOf: ReadonlyMap<string, string>,
  newId: (kind: string) => string,
): readonly BookStep[] {
  const mixes = lines.filter((line): line is MixLine => line.kind === 'mix');
  const ids = new Map(mixes.map(({ id }) => [id, newId('mix')]));
  const refOf = (clay: string) => {
    const own = ids.get(clay);
    if (own !== undefined) return { kind: 'mix' as const, id: own };
    return { kind: kindOf.get(clay) === 'block' ? ('block' as const) : ('mix' as const), id: clay };
  };
  return mixes.map(({ id, raw, mix }) => {
    const { code, name, basis, parts, powders, tags, note } = mix;
    const written = onOneLine(raw);
    const called = name ?? (code === undefined ? written.slice(0, BOOK_LIMITS.name) : undefined);
    return make(
      'mix',
      {
        ...(code === undefined ? {} : { code }),
        ...(called === undefined ? {} : { name: called }),
        basis,
        status: 'saved',
        parts: parts.map((part) => ({ of: refOf(part.clay), parts: part.parts })),
        ...(powders.length === 0
          ? {}
          : { powders: powders.map(({ powder, share }) => ({ powderId: powder, share })) }),
        ...(tags.length === 0 ? {} : { tags: [...tags] }),
        ...(note === undefined ? {} : { note }),
        written: written.slice(0, BOOK_LIMITS.written),
      },
      ids.get(id)!,
    );
  });
}

/** A row of a sheet has tabs in it, which a line of text has not. */
export function onOneLine(raw: string): string {
  return raw.replace(/\s+/gu, ' ').trim();
}
