/** What the steps of a ladder may lead to without naming a clay. */
export const END_KINDS = ['white', 'black', 'translucent', 'grey'] as const;
export type EndKind = (typeof END_KINDS)[number];

/** The kind that a word names, in any spelling of grey; undefined where it names none. */
export function endKindOf(word: string): EndKind | undefined {
  const said = word.trim().toLowerCase().replace('gray', 'grey');
  return END_KINDS.find((kind) => kind === said);
}
