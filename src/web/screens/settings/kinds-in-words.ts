import type { BookKind } from '../../../domain/records/record.ts';
import { count } from '../count.ts';

/** The record kinds shown, the most important first. */
const SHOWN: readonly (readonly [BookKind, string, string])[] = [
  ['mix', 'mix', 'mixes'],
  ['block', 'block', 'blocks'],
  ['tile', 'tile', 'tiles'],
  ['reading', 'reading', 'readings'],
  ['photo', 'photo', 'photos'],
  ['figure', 'figure', 'figures'],
  ['bend-test', 'bend test', 'bend tests'],
  ['palette', 'palette', 'palettes'],
  ['wish', 'wish', 'wishes'],
];

/** "60 mixes, 50 blocks, 147 tiles". */
export function kindsInWords(
  counts: readonly { readonly kind: BookKind; readonly live: number }[],
): string {
  const said = SHOWN.flatMap(([kind, one, many]) => {
    const live = counts.find((each) => each.kind === kind)?.live ?? 0;
    return live === 0 ? [] : [count(live, one, many)];
  });
  return said.length === 0 ? 'nothing yet' : said.join(', ');
}

export function bytesInWords(bytes: number): string {
  if (bytes < 1e6) return `${Math.max(1, Math.round(bytes / 1e3))} kB`;
  return bytes < 1e9 ? `${(bytes / 1e6).toFixed(1)} MB` : `${(bytes / 1e9).toFixed(2)} GB`;
}
