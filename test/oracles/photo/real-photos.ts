import { existsSync, readdirSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const PHOTOS = join('reference', 'chart24', 'photos');

/**
 * The folder of the four real photos of SOURCES.md, which are not part of the project: searched in
 * every folder beside the project. Undefined where there is none.
 */
export function realPhotoFolder(): string | undefined {
  const root = fileURLToPath(new URL('../../../', import.meta.url));
  const beside = dirname(root.replace(/[\\/]$/, ''));
  for (const name of readdirSync(beside)) {
    const folder = join(beside, name, PHOTOS);
    if (existsSync(join(folder, 'photo_d65.jpg'))) return folder;
  }
  return undefined;
}
