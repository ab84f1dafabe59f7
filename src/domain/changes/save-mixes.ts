import type { BlockLine, MixLine } from '../../core/notation/shorthand-block.ts';
import type { BookStep, PutStep } from '../records/change.ts';
import { BOOK_LIMITS } from '../records/limits.ts';
import type { BodyOf } from '../records/record.ts';
import { make } from './steps.ts';

/** A mix as the user describes it when saving it; empty texts are left out. */
export interface MixDescribed {
  readonly body: Omit<BodyOf<'mix'>, 'code' | 'name' | 'tags' | 'note'>;
  readonly code: string;
  readonly name: string;
  /** The name where neither a code nor a name is given. */
  readonly suggestedName: string;
  readonly tags: readonly string[];
  readonly note: string;
}

/** One mix with what the user typed for it. */
export function saveMixStep(mix: MixDescribed): PutStep<'mix'> {
  const [code, typed, note] = [mix.code.trim(), mix.name.trim(), mix.note.trim()];
  const name = typed === '' && code === '' ? mix.suggestedName : typed;
  return make('mix', {
    ...mix.body,
    ...(code === '' ? {} : { code }),
    ...(name === '' ? {} : { name }),
    ...(mix.tags.length === 0 ? {} : { tags: mix.tags }),
    ...(note === '' ? {} : { note }),
  });
}

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
