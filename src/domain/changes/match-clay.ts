import { colourOfName } from '../../core/colour/colour-of-name.ts';
import { deltaE2000 } from '../../core/colour/difference.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { isOwned } from '../clay-of-block.ts';
import type { BookStep } from '../records/change.ts';
import type { RecordOf } from '../records/record.ts';
import { change } from './steps.ts';

type Block = Pick<RecordOf<'block'>, 'id' | 'body'>;

/** A block of one's own beside an unknown clay; absent where neither colour is known. */
export interface ClosestOwn {
  readonly block: Block;
  readonly dE00: number;
}

/**
 * Own blocks for a clay that is not owned, the closest colour first: its colour where it has one, else the
 * colour that its words say.
 * Returns: none where nothing says a colour
 */
export function closestOwn(
  unknown: Block,
  blocks: Iterable<Block>,
  labOf: (id: string) => Lab | undefined,
): readonly ClosestOwn[] {
  const wanted = labOf(unknown.id) ?? colourOfName(unknown.body.name)?.lab;
  if (wanted === undefined) return [];
  return [...blocks]
    .flatMap((block) => {
      const lab = isOwned(block) ? labOf(block.id) : undefined;
      return lab === undefined ? [] : [{ block, dE00: deltaE2000(wanted, lab) }];
    })
    .sort((one, other) => one.dE00 - other.dE00);
}

/**
 * An own block in the place of an unknown clay, in every mix that names it.
 * Holds:   parts stay as they are; the unknown clay itself stays in the book
 */
export function matchClaySteps(
  unknownId: string,
  ownId: string,
  mixes: Iterable<RecordOf<'mix'>>,
): readonly BookStep[] {
  return [...mixes].flatMap((mix) => {
    if (!mix.body.parts.some(({ of }) => of.id === unknownId)) return [];
    const parts = mix.body.parts.map(({ of, parts: count }) => ({
      of: of.id === unknownId ? { kind: 'block' as const, id: ownId } : of,
      parts: count,
    }));
    return [change(mix, { ...mix.body, parts })];
  });
}
