import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';

const require = createRequire(import.meta.url);

/** Folders of the single cuts of the two faces. */
const FOLDERS = {
  vollkorn: dirname(require.resolve('@fontsource/vollkorn/files/vollkorn-latin-600-normal.woff')),
  'atkinson-hyperlegible-next': dirname(
    require.resolve(
      '@fontsource/atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-400-normal.woff',
    ),
  ),
};

/** The file of one cut: some letters of a face in one weight. */
export function fontFile(
  face: keyof typeof FOLDERS,
  letters: string,
  weight: number,
  ending: 'woff' | 'woff2' = 'woff',
): Uint8Array {
  return readFileSync(join(FOLDERS[face], `${face}-${letters}-${weight}-normal.${ending}`));
}
