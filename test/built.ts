import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

const ROOT = fileURLToPath(new URL('../', import.meta.url));
const LOADER = new URL('../node_modules/tsx/dist/esm/index.mjs', import.meta.url).href;
/** The folder of a build of the sources as they are now; absent where there is none. */
const built = process.env.KNEADWELL_BUILT_FOLDER;

/** The built page, where there is one. */
export const BUILT_PAGE = built === undefined ? undefined : join(built, 'web');

/** What Node runs for a program of `src/main`: its build, which starts four times as fast, or its source. */
export function programOf(name: string): string[] {
  return built === undefined
    ? ['--import', LOADER, `${ROOT}src/main/${name}.ts`]
    : [join(built, 'main', `${name}.js`)];
}

/** What a server's threads run, where it is built; otherwise they run their source. */
export const BUILT_THREAD =
  built === undefined ? undefined : pathToFileURL(join(built, 'main', 'work-thread.js'));
