import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { PROGRAM, ROOT } from './program.ts';

function node(...args: string[]) {
  const { status, stdout, stderr } = spawnSync(process.execPath, args, {
    cwd: ROOT,
    env: { ...process.env, NO_COLOR: '1' },
    encoding: 'utf8',
  });
  return { code: status, out: stdout, err: stderr };
}

describe('the demo', () => {
  it('goes from readings to a recipe and to a "no", and says at each step what it shows', () => {
    const demo = PROGRAM.map((word) => word.replace('kneadwell.ts', 'demo.ts'));
    const { code, out, err } = node(...demo);
    expect([code, err]).toEqual([0, '']);
    expect([...out.matchAll(/^\$ npx kneadwell (\w+)/gm)].map(([, verb]) => verb)).toEqual([
      'learn',
      'predict',
      'find',
      'find',
    ]);
    expect(out.match(/^What comes out of /gm)).toHaveLength(3);
    expect(out).toContain('Nothing comes within');
  });
});

describe('a Node that is too old', () => {
  const pretend = (version: string) =>
    `data:text/javascript,${encodeURIComponent(
      `Object.defineProperty(process, 'versions', { value: { ...process.versions, node: '${version}' } });`,
    )}`;

  it.each(['start.mjs', 'test.mjs', 'build.mjs'])('is told in one sentence by %s', (script) => {
    for (const version of ['18.20.4', '20.18.9']) {
      const { code, out, err } = node('--import', pretend(version), join(ROOT, 'tools', script));
      expect([code, out]).toEqual([1, '']);
      expect(err).toMatch(new RegExp(`^Kneadwell needs Node 20\\.19 or newer, .*${version}.*\\n$`));
    }
  });
});
