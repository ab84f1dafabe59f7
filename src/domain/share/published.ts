import { AppError } from '../../core/errors.ts';
import { clayKey } from '../../core/notation/clay-name.ts';
import { readPublished } from '../../core/notation/published-recipe.ts';
import { sealed } from './share-codec.ts';
import type { ShareFile } from './share-file.ts';
import { USUAL_LICENCE } from './sharer.ts';

/** Whose recipes they are where nobody is named. */
const UNKNOWN_AUTHOR = 'an author not named';

/**
 * Recipes published elsewhere, as a share file of clays of which only the words are known.
 * Refuses: lines that cannot be read -> published-unreadable (bad-input), all at once; none at all
 */
export function shareOfPublished(text: string, from: string): ShareFile {
  const { recipes, faults } = readPublished(text);
  if (faults.length > 0 || recipes.length === 0) throw unreadable(from, faults);
  const places = new Map<string, number>();
  const clays: { name: string; clayType: 'opaque' }[] = [];
  const placeOf = (clay: string) => {
    const key = clayKey(clay);
    const known = places.get(key);
    if (known !== undefined) return known;
    places.set(key, clays.length);
    clays.push({ name: clay, clayType: 'opaque' });
    return clays.length - 1;
  };
  const mixes = recipes.map(({ name, parts }) => ({
    name,
    basis: 'volume' as const,
    parts: parts.map(({ clay, parts: count }) => ({ clay: placeOf(clay), parts: count })),
    look: 'flat' as const,
  }));
  return sealed({
    format: 'kneadwell-share',
    version: 1,
    madeWith: 'typed',
    title: from.slice(0, 200),
    author: UNKNOWN_AUTHOR,
    licence: USUAL_LICENCE,
    lines: [],
    clays,
    mixes,
    palettes: [],
  });
}

function unreadable(
  from: string,
  faults: readonly { readonly line: number; readonly says: string }[],
): AppError {
  const [first] = faults;
  const more = faults.length > 1 ? ` ${faults.length - 1} more lines cannot be read.` : '';
  return new AppError({
    code: 'published-unreadable',
    kind: 'bad-input',
    detail:
      first === undefined
        ? `${from} has no recipe.`
        : `${from}, line ${first.line}: ${first.says}${more}`,
    hint: 'Nothing was saved. Write each recipe on a line: "Moss: 2 parts warm yellow, 1 part white".',
    more: { errors: faults.slice(0, 1000) },
  });
}
