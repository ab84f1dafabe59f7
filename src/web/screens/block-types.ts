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
