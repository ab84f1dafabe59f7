/**
 * Words on every screen of the page, at 1440 x 900: all of them, and those in sentences. A screen that is
 * read less is understood faster; the figures show which one grew.
 *
 *   npx tsx bench/screen-words.ts [--only WORDS] [--before FOLDER]
 *
 * `--only` takes parts of screens' names, with commas. FOLDER is a checkout of another version with its
 * packages, as "git worktree add" makes one: its screens are counted first. Both versions show the tide pool.
 */
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { parseArgs } from 'node:util';
import { settled } from '../test/journeys/screens.ts';
import sharedFolder from '../test/shared-folder.ts';

const { values } = parseArgs({
  options: { only: { type: 'string', default: '' }, before: { type: 'string' } },
});
const only = values.only.toLowerCase().split(',');
const COUNT = `(() => {
  const place = document.querySelector('dialog, [role=dialog], [role=alertdialog]') ?? document.querySelector('main');
  const count = (text) => text.split(/\\s+/).filter((word) => /\\p{L}/u.test(word)).length;
  const said = [...place.querySelectorAll('p')].filter((one) => one.checkVisibility());
  return [count(place.innerText), count(said.map((one) => one.innerText).join(' '))];
})()`;

type Screens = typeof import('../test/journeys/screens.ts');

async function countIn(folder: string): Promise<void> {
  const from = (path: string) => import(pathToFileURL(resolve(folder, path)).href);
  const { pageToLookAt, SCREENS } = (await from('test/journeys/screens.ts')) as Screens;
  const { here, mix } = await pageToLookAt();
  const page = await here.open({ width: 1440, height: 900 });
  page.setDefaultTimeout(30_000);
  for (const screen of SCREENS) {
    if (!only.some((part) => screen.name.toLowerCase().includes(part))) continue;
    try {
      await page.goto(`${here.run.server.url}${screen.path.replace(':mix', mix)}`);
      await settled(page);
      await screen.action?.(page);
      await settled(page);
      const [words, sentences] = (await page.evaluate(COUNT)) as [number, number];
      console.log(`${screen.name}\t${words}\t${sentences}`);
    } catch (fault) {
      console.log(`${screen.name}\tnot shown: ${String(fault).slice(0, 100)}`);
    }
  }
  await here.end();
}

const removeShared = sharedFolder();
const folders = [...(values.before === undefined ? [] : [values.before]), '.'];
for (const folder of folders) {
  console.log(`\n${folder}\nscreen\twords\tin sentences`);
  await countIn(folder);
}
removeShared();
