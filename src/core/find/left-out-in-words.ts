/** Names that are listed before the rest are counted. */
const LISTED = 8;

/** What to know of clays that no recipe can hold, because nothing says their colour; '' where there are none. */
export function leftOutInWords(names: readonly string[]): string {
  if (names.length === 0) return '';
  const rest = names.length - LISTED;
  const more = rest > 0 ? ` and ${rest} more` : '';
  const [whose, each] = names.length === 1 ? ['its', 'it'] : ['their', 'each'];
  return `Left out, because nothing is known of ${whose} colour: ${names.slice(0, LISTED).join(', ')}${more}. Read a tile of ${each}.`;
}
