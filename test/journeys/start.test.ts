import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join } from 'node:path';
import { text } from 'node:stream/consumers';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { isSupported, runtimePackage } from '../../src/main/node-runtime.mjs';
import { programOf } from '../built.ts';
import { ROOT } from './program.ts';

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
    const { code, out, err } = node(...programOf('demo'));
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

  it('ends without a word when nobody reads on', async () => {
    const demo = spawn(process.execPath, programOf('demo'), { cwd: ROOT });
    demo.stdout.once('data', () => demo.stdout.destroy());
    const said = text(demo.stderr);
    expect(await once(demo, 'close')).toEqual([0, null]);
    expect(await said).toBe('');
  });
});

describe('a Node that is too old', () => {
  const pretended = '20.20.9';
  const pretend = `data:text/javascript,${encodeURIComponent(
    `Object.defineProperty(process, 'versions', { value: { ...process.versions, node: '${pretended}' } });`,
  )}`;
  let root: string;
  const tool = () => join(root, 'tools/tell.mjs');
  const runtime = () => {
    const file = process.platform === 'win32' ? 'node.exe' : 'node';
    return join(root, '.runtime/24/node_modules', runtimePackage(), 'bin', file);
  };

  /** A clone with what is read before anything is installed, and a tool that tells what it runs on. */
  beforeEach(() => {
    root = mkdtempSync(join(tmpdir(), 'kneadwell old node '));
    for (const path of ['package.json', 'tools', 'src/main/node-runtime.mjs']) {
      cpSync(join(ROOT, path), join(root, path), { recursive: true });
    }
    writeFileSync(
      tool(),
      `import { onSupportedNode } from './supported-node.mjs';
if (await onSupportedNode()) {
  console.log(JSON.stringify([process.versions.node, process.argv.slice(2)]));
  process.exitCode = 7;
}
`,
    );
  });
  afterEach(() => rmSync(root, { recursive: true, force: true }));

  function old(npm: string, ...args: string[]) {
    const npmPath = join(root, 'npm-cli.cjs');
    writeFileSync(npmPath, `if (process.argv[2] === '--version') console.log('11.0.0');\n${npm}`);
    const { status, stdout, stderr } = spawnSync(process.execPath, ['--import', pretend, ...args], {
      cwd: root,
      env: { ...process.env, NO_COLOR: '1', npm_execpath: npmPath },
      encoding: 'utf8',
    });
    return { code: status, out: stdout, err: stderr };
  }

  it('fetches another through npm, says so once, and goes on with it to its end', () => {
    const fetch = `else {
  const { cpSync, mkdirSync } = require('node:fs');
  const to = process.argv[process.argv.indexOf('--prefix') + 1] + '/node_modules/${runtimePackage()}/bin';
  mkdirSync(to, { recursive: true });
  cpSync(${JSON.stringify(process.execPath)}, to + '/' + ${JSON.stringify(basename(runtime()))});
}`;
    const reply = JSON.stringify([process.versions.node, ['a word', '--switch']]);
    const first = old(fetch, tool(), 'a word', '--switch');
    expect(first.err).toMatch(
      new RegExp(`^This is Node ${pretended}; fetching Node 24, once .*\\n`),
    );
    expect([first.code, first.out]).toEqual([7, `${reply}\n`]);
    expect(first.err.trimEnd().split('\n')).toHaveLength(1);
    const second = old(fetch, tool(), 'a word', '--switch');
    expect(second).toEqual({ code: 7, out: `${reply}\n`, err: '' });
  });

  it('says so in one sentence where nothing can be fetched, and leaves no half-finished files', () => {
    const offline = 'else { console.error("npm error code ENOTFOUND"); process.exitCode = 1; }';
    const { code, out, err } = old(offline, tool());
    expect([code, out]).toEqual([1, '']);
    expect(err).toMatch(/\nNode 24 could not be fetched, as the network does not answer; .*\n$/);
    expect(existsSync(join(root, '.runtime')) && readdirSync(join(root, '.runtime'))).toEqual([]);
  });

  it('hears from the program itself what to do, or hands over to the fetched version', () => {
    const program = join(root, 'src/main/kneadwell.mjs');
    // Without its types, as the program is once it is built.
    const text = readFileSync(join(ROOT, 'src/main/kneadwell.ts'), 'utf8');
    writeFileSync(program, text.replace('./command-line.ts', './tells.mjs'));
    writeFileSync(
      join(root, 'src/main/tells.mjs'),
      'console.log(process.argv[2]); process.exitCode = 7;',
    );
    const { code, out, err } = old('', program, 'book');
    expect([code, out]).toEqual([1, '']);
    expect(err).toMatch(
      /^Kneadwell needs Node 22\.12, 24, or 26 and newer, and this is Node 20\.20\.9; "npm start" .*\n$/,
    );
    mkdirSync(dirname(runtime()), { recursive: true });
    cpSync(process.execPath, runtime());
    expect(old('', program, 'book')).toEqual({ code: 7, out: 'book\n', err: '' });
  });
});

describe('the Node that is supported', () => {
  it.each([
    ['14.21.3', false],
    ['20.20.2', false],
    ['22.11.0', false],
    ['22.12.0', true],
    ['23.11.0', false],
    ['24.0.0', true],
    ['25.2.0', false],
    ['26.10.0', true],
    ['27.0.0', true],
  ])('%s: %s', (version, supported) => {
    expect(isSupported(version)).toBe(supported);
  });
});
