import { mkdtempSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { moveFile } from './move-file.ts';

let folder: string;
let tries: number;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'kneadwell move '));
  tries = 0;
  writeFileSync(join(folder, 'new'), 'new');
  writeFileSync(join(folder, 'old'), 'old');
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

/** A system that says so many times that the file is held, and then moves it. */
const heldFor = (times: number, code: string) => (from: string, to: string) => {
  tries++;
  if (tries <= times) throw Object.assign(new Error('held'), { code });
  renameSync(from, to);
};
const move = (...how: [(from: string, to: string) => void, NodeJS.Platform]) =>
  moveFile(join(folder, 'new'), join(folder, 'old'), ...how);

describe('moving a file', () => {
  it('takes the place of the one that is there', () => {
    moveFile(join(folder, 'new'), join(folder, 'old'));
    expect(readdirSync(folder)).toEqual(['old']);
    expect(readFileSync(join(folder, 'old'), 'utf8')).toBe('new');
  });

  it.each(['EPERM', 'EACCES', 'EBUSY'])('waits on Windows for who holds it (%s)', (code) => {
    move(heldFor(3, code), 'win32');
    expect(tries).toBe(4);
    expect(readFileSync(join(folder, 'old'), 'utf8')).toBe('new');
  });

  it('gives up in the end, and elsewhere or for another reason at once', () => {
    expect(() => move(heldFor(99, 'EBUSY'), 'win32')).toThrow('held');
    expect(tries).toBe(8);
    tries = 0;
    expect(() => move(heldFor(99, 'ENOSPC'), 'win32')).toThrow('held');
    expect(tries).toBe(1);
    tries = 0;
    expect(() => move(heldFor(99, 'EPERM'), 'linux')).toThrow('held');
    expect(tries).toBe(1);
  });
});
