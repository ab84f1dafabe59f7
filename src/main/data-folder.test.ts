import { resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { dataFolder } from './data-folder.ts';

describe('the data folder', () => {
  it.each([
    ['/a/book', { KNEADWELL_FOLDER: '/b' }, 'linux', '/a/book'],
    [undefined, { KNEADWELL_FOLDER: '/b' }, 'linux', '/b'],
    [undefined, { XDG_DATA_HOME: '/x' }, 'linux', '/x/kneadwell'],
    // A path that is not absolute is passed over, XDG Base Directory Specification 0.8.
    [undefined, { XDG_DATA_HOME: 'x' }, 'linux', '/home/me/.local/share/kneadwell'],
    [undefined, {}, 'linux', '/home/me/.local/share/kneadwell'],
    [undefined, {}, 'darwin', '/home/me/Library/Application Support/Kneadwell'],
  ] as const)('named %s, environment %j, on %s is %s', (named, env, platform, folder) => {
    expect(dataFolder(named, env, platform, '/home/me')).toBe(resolve(folder));
  });
});
