import { readFile } from 'node:fs/promises';
import type { BookRecord } from '../domain/records/record.ts';
import { recordsFromBookJson } from '../formats/book-json.ts';

const BOOK = new URL('../../data/demo/book.json', import.meta.url);

let read: Promise<readonly BookRecord[]> | undefined;

/** Records of the invented studio; read once. */
export function demoRecords(): Promise<readonly BookRecord[]> {
  read ??= readFile(BOOK, 'utf8').then((text) => recordsFromBookJson(text, 'the demo'));
  return read;
}
