import type { Lab } from '../../core/colour/triples.ts';
import { clayKey } from '../../core/notation/notation.ts';
import type { BookStep } from '../records/change.ts';
import { BOOK_LIMITS } from '../records/limits.ts';
import type { ReadingKind } from '../records/reading-kind.ts';
import type { BodyOf, RecordOf } from '../records/record.ts';
import { labReading } from './lab-reading.ts';
import { make } from './steps.ts';

/**
 * A new lot of a block as a block of its own with its baked colour; the old one stays as it is, for the past.
 * Holds:   the name is that of the block with the number of the lot, and no other block has it; the code stays
 *          with the old lot
 */
export function newLotSteps(ask: {
  readonly block: Pick<RecordOf<'block'>, 'body'>;
  /** Names of the blocks of the book. */
  readonly names: Iterable<string>;
  readonly looks: { readonly lab: Lab; readonly readingKind: ReadingKind };
  readonly newId: (kind: string) => string;
}): { readonly id: string; readonly name: string; readonly steps: readonly BookStep[] } {
  const { block, names, looks, newId } = ask;
  const { code: _, ...body } = block.body;
  const name = nameOfLot(body.name, names);
  const id = newId('block');
  return {
    id,
    name,
    steps: [
      make('block', { ...body, name }, id),
      make('reading', {
        of: { kind: 'block', id },
        ...labReading(looks.lab, looks.readingKind, 'baked'),
      }),
    ],
  };
}

function nameOfLot(name: string, names: Iterable<string>): string {
  const taken = new Set([...names].map(clayKey));
  const plain = name.replace(/, lot \d+$/, '');
  for (let lot = 2; ; lot++) {
    const end = `, lot ${lot}`;
    const next = `${plain.slice(0, BOOK_LIMITS.name - end.length)}${end}`;
    if (!taken.has(clayKey(next))) return next;
  }
}

/** A mix cut again for a new lot; the mix it comes from stays as it is. */
export function recutMixStep(ask: {
  readonly from: RecordOf<'mix'>;
  readonly called: string;
  readonly lot: string;
  readonly parts: BodyOf<'mix'>['parts'];
  readonly basis: BodyOf<'mix'>['basis'];
  readonly wanted: NonNullable<BodyOf<'mix'>['wanted']>;
  readonly predicted: NonNullable<BodyOf<'mix'>['predicted']>;
}): BookStep {
  const { from, called, lot, parts, basis, wanted, predicted } = ask;
  return make('mix', {
    name: `${called}, ${lot}`.slice(0, BOOK_LIMITS.name),
    parts,
    basis,
    status: 'test',
    cameFromId: from.id,
    ...(from.body.tags === undefined ? {} : { tags: from.body.tags }),
    ...(from.body.powders === undefined ? {} : { powders: from.body.powders }),
    wanted,
    predicted,
    note: `Cut for ${lot}.`,
  });
}
