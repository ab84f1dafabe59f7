/**
 * How soon a follower with 14 blocks of another line has the first recipe from a page of one's own, on a phone:
 * taps and waiting as counted in Chromium at 390 x 844, its processor slowed four times and the page from a
 * host over a slow line, and the seconds of a person by `secondsOf`. Somebody who owns a whole line ticks it
 * at once; both are walked.
 *
 * Run: npx tsx bench/follower.ts
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { buildSite } from '../src/domain/site/build-site.ts';
import { twoLinesShare } from '../test/conformance/two-lines-share.ts';
import { followerWalk, secondsOf } from '../test/journeys/follower-walk.ts';
import { launched } from '../test/journeys/page.ts';
import { readerScripts } from '../test/journeys/reader-scripts.ts';

/** A phone on a slow line: 1.6 Mbit/s down, 150 ms there and back. */
const SLOW = {
  offline: false,
  latency: 150,
  downloadThroughput: 200_000,
  uploadThroughput: 93_750,
};
const SLOWED = 4;

const folder = mkdtempSync(join(tmpdir(), 'kneadwell follower '));
const site = buildSite(twoLinesShare(), await readerScripts(join(folder, 'scripts')));
rmSync(folder, { recursive: true, force: true });
const host = createServer((request, response) => {
  const path = decodeURIComponent(new URL(request.url ?? '/', 'http://host').pathname).slice(1);
  const content = site.get(path);
  if (content === undefined) return response.writeHead(404).end();
  const type = { html: 'text/html', css: 'text/css', js: 'text/javascript' }[
    path.split('.').at(-1)!
  ];
  response.writeHead(200, {
    'content-encoding': 'gzip',
    ...(type === undefined ? {} : { 'content-type': type }),
  });
  response.end(gzipSync(content));
});
await new Promise<void>((resolve) => host.listen(0, '127.0.0.1', resolve));
const address = `http://127.0.0.1:${(host.address() as AddressInfo).port}/index.html`;

const browser = await launched([]);
const owned = Array.from({ length: 14 }, (_, i) => `Clay ${2 * i + 2}`);
for (const [how, ticks] of [
  ['14 blocks ticked one by one', owned],
  ['a whole line ticked at once', ['All of Lantern']],
] as const) {
  const context = await browser.newContext({ viewport: { width: 390, height: 844 } });
  const page = await context.newPage();
  const session = await context.newCDPSession(page);
  await session.send('Network.enable');
  await session.send('Network.emulateNetworkConditions', SLOW);
  await session.send('Emulation.setCPUThrottlingRate', { rate: SLOWED });
  const walk = await followerWalk(page, address, ticks, 'Rock pool 7');
  process.stdout.write(
    `${how}: ${walk.taps} taps, ${walk.scrolls} moves of the screen, ${(walk.waitedMs / 1000).toFixed(1)} s waiting, ${secondsOf(walk).toFixed(0)} s in all; ${walk.recipe}\n`,
  );
  await context.close();
}
await browser.close();
host.close();
