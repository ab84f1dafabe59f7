/**
 * Words on every screen of the page over the demo studio, at 1440 x 900: all of them, and those in
 * sentences. A screen that is read less is understood faster; the figures show which one grew.
 *
 *   npx tsx bench/screen-words.ts [--only WORDS]
 */
import { NO_BROWSER, pageHere } from '../test/journeys/page.ts';
import { goTo, SCREENS } from '../test/journeys/screens.ts';
import sharedFolder from '../test/shared-folder.ts';
import { deleteFigure, demoBook, mixWithTile } from './demo-studio.ts';

if (NO_BROWSER !== undefined) throw new Error(NO_BROWSER);
const at = process.argv.indexOf('--only');
const only = (at < 0 ? '' : (process.argv[at + 1] ?? '')).toLowerCase().split(',');
const removeShared = sharedFolder();
const here = await pageHere(await demoBook());
await deleteFigure(here.client);
const mix = await mixWithTile(here.client);
const page = await here.open({ width: 1440, height: 900 });
console.log('screen\twords\tin sentences');
for (const screen of SCREENS.filter(({ name }) =>
  only.some((part) => name.toLowerCase().includes(part)),
)) {
  try {
    await goTo(page, here.run.server.url, screen, mix);
  } catch (fault) {
    console.log(`${screen.name}\tnot shown: ${String(fault).slice(0, 100)}`);
    continue;
  }
  const [words, sentences] = (await page.evaluate(`(() => {
    const place = document.querySelector('dialog, [role=dialog]') ?? document.querySelector('main');
    const count = (text) => text.split(/\\s+/).filter((word) => /\\p{L}/u.test(word)).length;
    const said = [...place.querySelectorAll('p')].filter((one) => one.checkVisibility());
    return [count(place.innerText), count(said.map((one) => one.innerText).join(' '))];
  })()`)) as [number, number];
  console.log(`${screen.name}\t${words}\t${sentences}`);
}
await here.end();
removeShared();
