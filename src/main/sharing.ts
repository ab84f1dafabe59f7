import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { ServerDependencies } from '../server/dependencies.ts';
import { drawer } from './drawer.ts';
import { siteParts } from './site-parts.ts';

/** What the server shares with; `page` is the folder of the built page, where it lies elsewhere. */
export function sharingHere(page: string | undefined): ServerDependencies['sharing'] {
  const scripts = page === undefined ? undefined : pathToFileURL(`${join(page, 'reader-script')}/`);
  return {
    drawer,
    siteParts: async () => siteParts(scripts),
    readQr: async (photo) => (await import('../imaging/read-qr.ts')).readQr(photo),
    zipped: async (files) => (await import('../store/zip-of-files.ts')).zipOfFiles(files),
  };
}
