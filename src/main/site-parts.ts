import { existsSync, readFileSync } from 'node:fs';
import { AppError } from '../core/errors.ts';
import type { SiteParts } from '../domain/site/build-site.ts';
import { fontFile } from './fonts.ts';

/** Where the scripts lie: beside a built program, or in the last build of the sources. */
const PLACES = ['../web/reader-script/', '../../dist/web/reader-script/'].map(
  (path) => new URL(path, import.meta.url),
);

/** What a page of one's own is made of besides the recipes. Refuses: not built yet -> page-not-built (unavailable) */
export function siteParts(
  scripts = PLACES.find((place) => existsSync(new URL('page.js', place))),
): SiteParts {
  if (scripts === undefined) {
    throw new AppError({
      code: 'page-not-built',
      kind: 'unavailable',
      detail: 'The script for a page of your own was not built yet.',
      hint: 'Run "npm start" or "npm run build" once.',
    });
  }
  return {
    script: readFileSync(new URL('page.js', scripts), 'utf8'),
    mine: readFileSync(new URL('mine.js', scripts), 'utf8'),
    titleFont: fontFile('vollkorn', 'latin', 600, 'woff2'),
    textFont: fontFile('atkinson-hyperlegible-next', 'latin', 400, 'woff2'),
  };
}
