/** The scripts and letters of a page of one's own, built from the sources. */
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'vite';
import type { SiteParts } from '../../src/domain/site/build-site.ts';
import { siteParts } from '../../src/main/site-parts.ts';
import { ROOT } from './program.ts';

export async function readerScripts(outDir: string): Promise<SiteParts> {
  for (const name of ['page', 'mine']) {
    await build({
      configFile: false,
      publicDir: false,
      logLevel: 'error',
      build: {
        outDir,
        emptyOutDir: false,
        target: 'es2022',
        modulePreload: false,
        rolldownOptions: {
          input: join(ROOT, `src/web/reader/${name}.ts`),
          output: { entryFileNames: `${name}.js`, format: 'iife' },
        },
      },
    });
  }
  return siteParts(pathToFileURL(`${outDir}/`));
}
