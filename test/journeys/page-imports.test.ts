import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { NO_BROWSER, type PageHere } from './page.ts';
import { pageToLookAt } from './screens.ts';

const PNG = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 13];
const ZIP = [0x50, 0x4b, 3, 4, 20, 0, 0, 0, 8, 0];
const MIB = 2 ** 20;

describe.skipIf(NO_BROWSER !== undefined)(`a wrong file (${NO_BROWSER ?? 'browser'})`, () => {
  let here: PageHere;
  beforeAll(async () => {
    here = (await pageToLookAt()).here;
  });
  afterAll(() => here?.end());

  it.each<[string, string, string | Uint8Array, RegExp]>([
    ['a picture', 'tiles.csv', new Uint8Array(PNG), /found a picture/],
    ['an empty file', 'none.csv', '', /found an empty file/],
    [
      'a backup',
      'book.kneadwell',
      new Uint8Array(ZIP),
      /found a workbook or an archive.*Bring back a backup of the book/,
    ],
    [
      'an export that is cut off',
      'cut.json',
      '{"format":"kneadwell-book","version":2,"records":[{"id":"a',
      /the JSON is damaged or cut off/,
    ],
    ['a large text', 'large.csv', 'kelp,sand,1,2,3\n'.repeat((30 * MIB) / 16), /larger than 8 MB/],
    [
      'text just below the limit',
      'long.csv',
      'kelp,sand,1,2,3\n'.repeat((7 * MIB) / 16),
      /20001 lines of long\.csv cannot be read/,
    ],
    [
      'unknown columns',
      'other.csv',
      `colour,amount\n${'blue,3\n'.repeat(5000)}`,
      /its first line must name the columns: tile, of, L, a, b/,
    ],
  ])('that is %s is refused in plain words, and the page goes on', async (_, name, body, why) => {
    const page = await here.open({ width: 390, height: 844 });
    await page.goto(`${here.run.server.url}/settings/files`);
    const path = join(here.run.folder, name);
    writeFileSync(path, body);
    const chooser = page.waitForEvent('filechooser');
    await page.getByRole('button', { name: 'Import a file' }).click();
    await (await chooser).setFiles(path);
    const preview = page.getByRole('button', { name: 'Preview' });
    const refused = page.getByText(why);
    await preview.or(refused).first().waitFor();
    if (await preview.isVisible()) await preview.click();
    await refused.waitFor();
    expect(here.complaints).toEqual([]);
    await page.context().close();
  });
});
