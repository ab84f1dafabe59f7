/**
 * What a screen reader has to read on a screen, as text: roles, names, values and states in their order.
 *
 *   npx tsx bench/read-aloud.ts [--only WORDS]      the default is Find and Mix book
 *
 * `--only` takes parts of screens' names, with commas.
 */
import { parseArgs } from 'node:util';
import { NO_BROWSER } from '../test/journeys/page.ts';
import { goTo, pageToLookAt, SCREENS } from '../test/journeys/screens.ts';
import sharedFolder from '../test/shared-folder.ts';

if (NO_BROWSER !== undefined) throw new Error(NO_BROWSER);
const { values } = parseArgs({ options: { only: { type: 'string' } } });
const chosen = SCREENS.filter(({ name }) =>
  values.only === undefined
    ? name === 'Find' || name === 'Mix book'
    : values.only.split(',').some((part) => name.toLowerCase().includes(part.toLowerCase())),
);
const removeShared = sharedFolder();
const { here, mix } = await pageToLookAt();
const page = await here.open({ width: 1440, height: 900 });
for (const screen of chosen) {
  await goTo(page, here.run.server.url, screen, mix);
  console.log(`\n# ${screen.name}\n${await page.locator('body').ariaSnapshot()}`);
}
await here.end();
removeShared();
