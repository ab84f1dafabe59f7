import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { connect } from './sqlite-connection.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'kneadwell connection '));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

it('flushes every commit and the log down to the disk itself, on macOS too', () => {
  const { raw } = connect(join(folder, 'book.sqlite'), { readonly: false });
  const set = (name: string) => raw.pragma(name, { simple: true });
  try {
    // 2 is FULL.
    expect(set('synchronous')).toBe(2);
    expect([set('fullfsync'), set('checkpoint_fullfsync')]).toEqual([1, 1]);
  } finally {
    raw.close();
  }
});
