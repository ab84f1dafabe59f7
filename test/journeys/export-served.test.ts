import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { BOOK_KINDS } from '../../src/domain/records/record.ts';
import { recordsFromBookCsv } from '../../src/formats/book-csv.ts';
import { recordsFromBookJson } from '../../src/formats/book-json.ts';
import { type Running, rawCall, running } from '../server/running.ts';
import { call } from './program.ts';

let here: Running;
beforeAll(async () => {
  here = await running();
  await here.client.call('moveDemoIn', {});
});
afterAll(async () => {
  expect(here.troubles).toEqual([]);
  await here.end();
});

const downloaded = (query: string) => rawCall(`${here.server.url}/api/v1/export?${query}`);

it('a table downloaded from the page is the table of the command line, with every field', async () => {
  const out = join(here.folder, 'tables');
  // A program of its own, as what one part of a program loads must not change what another part writes.
  const printed = call(
    ['export', '--as', 'csv', '--out', out, '--folder', here.folder],
    here.folder,
  );
  expect([printed.code, printed.err]).toEqual([0, '']);
  const all = recordsFromBookJson((await downloaded('as=json')).text, 'book.json');
  expect(all.length).toBeGreaterThan(100);
  let compared = 0;
  for (const kind of BOOK_KINDS) {
    const { status, text } = await downloaded(`as=csv&kind=${kind}`);
    expect(status).toBe(200);
    const path = join(out, `${kind}.csv`);
    if (!existsSync(path)) continue;
    expect(text).toBe(readFileSync(path, 'utf8'));
    const records = recordsFromBookCsv(text, `${kind}.csv`);
    expect(records).toEqual(all.filter((record) => record.kind === kind));
    compared += records.length;
  }
  expect(compared).toBe(all.length);
});
