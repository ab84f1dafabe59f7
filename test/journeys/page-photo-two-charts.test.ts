import sharp from 'sharp';
import { expect, it } from 'vitest';
import { randomFrom } from '../../bench/random.ts';
import { renderChartPhoto, snappedChart } from '../studio-camera/chart-photo.ts';
import { NO_BROWSER } from './page.ts';
import { file, photoBench, photoInput, photoScreen, photosRead, tileRows } from './photo-screen.ts';

const bench = photoBench();
const [WIDE, HIGH] = [640, 480];

/** Two charts side by side, the right one in less light, and two tiles below them. */
async function twoCharts(): Promise<Uint8Array> {
  const random = randomFrom(4);
  const plain = snappedChart(random, 'none');
  const [left, right] = [0.7, 0.45].map((exposure) => {
    const { picture } = renderChartPhoto(
      {
        ...plain,
        ...{ widthPx: WIDE, heightPx: HIGH, size: 0.6, turnDeg: 4, middle: [0.5, 0.5] },
        ...{ ground: 'plain', exposure },
      },
      random,
    );
    return Buffer.from(picture.codes);
  });
  const raw = { width: WIDE, height: HIGH, channels: 3 } as const;
  const tile = (background: string) => ({
    width: 60,
    height: 60,
    channels: 3 as const,
    background,
  });
  const made = await sharp({
    create: { width: 2 * WIDE, height: HIGH + 240, channels: 3, background: '#9a958c' },
  })
    .composite([
      { input: left, raw, left: 0, top: 0 },
      { input: right, raw, left: WIDE, top: 0 },
      { input: { create: tile('#3c5a8c') }, left: 300, top: HIGH + 80 },
      { input: { create: tile('#b4463c') }, left: 900, top: HIGH + 80 },
    ])
    .jpeg({ quality: 92 })
    .toBuffer();
  return new Uint8Array(made);
}

it.skipIf(NO_BROWSER !== undefined).each([
  ['left', 'right'],
  ['right', 'left'],
])(
  `two charts in a photo: the one on the %s is chosen, then the other (${NO_BROWSER ?? 'browser'})`,
  async (first, second) => {
    const page = await photoScreen(bench.here, { width: 390, height: 844 });
    await photoInput(page).setInputFiles(file('two charts.jpg', await twoCharts()));
    await photosRead(page);
    const question = page.getByText('Which one do you want to use?');
    await question.waitFor();
    await page.getByRole('button', { name: `The one on the ${first}`, exact: true }).click();
    await page.getByText(`The chart on the ${first} is used.`).waitFor();
    await photosRead(page);
    expect(await question.count()).toBe(0);
    expect(await tileRows(page).count()).toBe(2);
    const under = await tileRows(page).allTextContents();
    await page.getByRole('button', { name: `Use the one on the ${second}`, exact: true }).click();
    await page.getByText(`The chart on the ${second} is used.`).waitFor();
    await photosRead(page);
    expect(await tileRows(page).allTextContents()).not.toEqual(under);
    await page.context().close();
  },
);
