import type { BodyOf } from '../../domain/records/record.ts';

/** Sorts of clay as packets name them. */
export const SORTS: readonly (readonly [BodyOf<'block'>['clayType'], string])[] = [
  ['opaque', 'opaque'],
  ['translucent', 'translucent'],
  ['pearl', 'pearl'],
  ['metallic', 'metallic'],
  ['glitter', 'glitter'],
  ['fluorescent', 'fluorescent'],
];
