import type { PutStep } from '../records/change.ts';
import { BOOK_LIMITS } from '../records/limits.ts';
import type { BodyOf, RecordOf } from '../records/record.ts';
import { make } from './steps.ts';

/** What was added to a lump. */
export interface MendedLump {
  /** The mix the lump was made by; none where nobody knows. */
  readonly from: RecordOf<'mix'> | undefined;
  readonly called: string;
  /** Pieces added, in words: "3 Limpet + 1 Foam". */
  readonly added: string;
  /** How many times as large the lump became; the share of its powders shrinks by that. */
  readonly growth: number;
  readonly parts: BodyOf<'mix'>['parts'];
  readonly basis: BodyOf<'mix'>['basis'];
  readonly wanted: NonNullable<BodyOf<'mix'>['wanted']>;
  readonly predicted: NonNullable<BodyOf<'mix'>['predicted']>;
}

/** The mended lump as a mix of its own, which names the mix it came from; that one stays as it is. */
export function mendedMixStep(lump: MendedLump, id: string): PutStep<'mix'> {
  const { from, called, added, growth, parts, basis, wanted, predicted } = lump;
  return make(
    'mix',
    {
      name: `${called}, mended`.slice(0, BOOK_LIMITS.name),
      parts,
      basis,
      status: 'test',
      ...(from === undefined ? {} : { cameFromId: from.id }),
      ...(from?.body.tags === undefined ? {} : { tags: from.body.tags }),
      ...(from?.body.powders === undefined
        ? {}
        : {
            powders: from.body.powders.map(({ powderId, share }) => ({
              powderId,
              share: share / growth,
            })),
          }),
      wanted,
      predicted,
      note: `Mended: ${added} added to the lump.`,
    },
    id,
  );
}
