import type { BodyOf } from '../../domain/records/record.ts';

/** Types of clay as packages name them. */
export const CLAY_TYPES: readonly (readonly [BodyOf<'block'>['clayType'], string])[] = [
  ['opaque', 'opaque'],
  ['translucent', 'translucent'],
  ['pearl', 'pearl'],
  ['metallic', 'metallic'],
  ['glitter', 'glitter'],
  ['fluorescent', 'fluorescent'],
];

/** How a block is not flat: "pearl"; nothing of plain opaque clay. */
export function effectOf(clayType: BodyOf<'block'>['clayType'] | undefined): string | undefined {
  return clayType === 'opaque' ? undefined : clayType;
}
