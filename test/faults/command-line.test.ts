import {
  chmodSync,
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CliShell } from '../../src/cli/shell.ts';
import { diskFiles } from '../../src/main/disk-files.ts';
import { callHere, DEMO, start } from '../journeys/program.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell faults '));
const inside = (name: string) => join(folder, name);
const clay = inside('clay.json');
const tiles = inside('tiles.csv');

beforeAll(async () => {
  cpSync(DEMO[0], tiles);
  mkdirSync(inside('a folder'));
  writeFileSync(inside('empty.csv'), '');
  writeFileSync(inside('notes.txt'), 'leach the white first');
  writeFileSync(inside('raw.csv'), 'tile,of,state,L,a,b\n1,Kelp,raw,40,-20,20\n');
  writeFileSync(
    inside('both.csv'),
    'tile,of,basis,L,a,b\n1,2 Kelp + 1 Foam,volume,40,-20,20\n2,1 Kelp + 1 Foam,weight,50,-20,20\n',
  );
  writeFileSync(inside('odd.csv'), 'x,of\n1,1 Kelp + 1 Foam\n2,1 Kelp + 1 Faom\n');
  writeFileSync(inside('torn.csv'), 'of\n1 Kelp + \n');
  writeFileSync(inside('weight.csv'), 'of,basis\n1 Kelp + 1 Foam,weight\n');
  const { code, err } = await callHere(['learn', tiles, '--out', clay]);
  if (code !== 0) throw new Error(err);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Content of the folder, byte for byte, to see that an error leaves nothing. */
function contents(): Record<string, string> {
  const names = readdirSync(folder, { withFileTypes: true }).filter((entry) => entry.isFile());
  return Object.fromEntries(names.map(({ name }) => [name, readFileSync(inside(name), 'base64')]));
}

describe('a fault', () => {
  // Code by kind, the name in the message, the hint.
  it.each<[string, () => string[], number, string]>([
    [
      'no such file',
      () => ['learn', inside('none.csv'), '--out', clay],
      3,
      'none.csv could not be read: there is nothing',
    ],
    [
      'a folder for readings',
      () => ['learn', inside('a folder'), '--out', clay],
      2,
      'it is a folder',
    ],
    ['an empty file', () => ['learn', inside('empty.csv'), '--out', clay], 2, 'empty.csv'],
    [
      'words for readings',
      () => ['learn', inside('notes.txt'), '--out', clay],
      2,
      'notes.txt, line 1',
    ],
    [
      'raw tiles only',
      () => ['learn', inside('raw.csv'), '--out', clay],
      2,
      'none is of a baked tile',
    ],
    ['two bases', () => ['learn', inside('both.csv'), '--out', clay], 2, 'line 2 and by weight in'],
    ['no output named', () => ['learn', tiles], 2, '--out is missing'],
    ['no readings named', () => ['learn', '--out', clay], 2, 'Which readings'],
    ['the readings as output', () => ['learn', tiles, '--out', tiles], 4, 'is one of the readings'],
    [
      'another file as output',
      () => ['learn', tiles, '--out', inside('notes.txt')],
      4,
      'no clay model',
    ],
    [
      'a missing folder',
      () => ['learn', tiles, '--out', inside('none/clay.json')],
      3,
      'its folder is not there',
    ],
    [
      'a folder as output',
      () => ['learn', tiles, '--out', inside('a folder')],
      2,
      'it is a folder',
    ],
    ['no such clay', () => ['inspect', inside('none.json')], 3, 'none.json could not be read'],
    ['readings for a clay', () => ['inspect', tiles], 2, 'tiles.csv is no clay model'],
    [
      'an unknown clay',
      () => ['predict', clay, '--of', '1 Klep + 1 Foam'],
      2,
      'Did you mean Kelp?',
    ],
    ['an unreadable recipe', () => ['predict', clay, '--of', '5 Kelp +'], 2, 'character 9'],
    [
      'an unknown clay in a row',
      () => ['predict', clay, '--from', inside('odd.csv')],
      2,
      'odd.csv, line 3, column 2 (of): "Faom"',
    ],
    [
      'an unreadable row',
      () => ['predict', clay, '--from', inside('torn.csv')],
      2,
      'torn.csv, line 2, column 1 (of)',
    ],
    [
      'a row on the other basis',
      () => ['predict', clay, '--from', inside('weight.csv')],
      2,
      'weight.csv, line 2, column 1 (of): The recipe counts parts by weight',
    ],
    [
      'both ways to ask',
      () => ['predict', clay, '--of', 'Kelp', '--from', tiles],
      2,
      'either --of RECIPE or --from FILE',
    ],
    ['neither way', () => ['predict', clay], 2, 'either --of RECIPE or --from FILE'],
    ['two clays', () => ['predict', clay, clay, '--of', 'Kelp'], 2, 'One clay file'],
    [
      'an unknown light',
      () => ['predict', clay, '--of', 'Kelp', '--light', 'moon'],
      2,
      'the lights are D50',
    ],
    [
      'an unknown observer',
      () => ['predict', clay, '--of', 'Kelp', '--observer', '4'],
      2,
      '2 or 10',
    ],
    [
      'an unknown basis',
      () => ['predict', clay, '--of', 'Kelp', '--basis', 'size'],
      2,
      'volume or weight',
    ],
    [
      'an unknown option',
      () => ['find', clay, '--aim', '50,0,0', '--tolerence', '2'],
      2,
      'Did you mean --tolerance?',
    ],
    ['an unknown verb', () => ['sek', clay], 2, 'Did you mean "find"?'],
    ['a verb of before', () => ['seek', clay], 2, 'seek is now called find'],
    ['half a verb', () => ['tray'], 2, 'Did you mean "tray-sheet"?'],
    [
      'an option of before',
      () => ['find', clay, '--aim', '50,0,0', '--parents', '2'],
      2,
      '--parents is now called --clays',
    ],
    [
      'another option of before',
      () => ['find', clay, '--aim', '50,0,0', '--give-up', 'hue'],
      2,
      '--give-up is now called --relax',
    ],
    ['a list option of before', () => ['list', '--bin'], 2, '--bin is now called --deleted'],
    ['no aim', () => ['find', clay], 2, '--aim is missing'],
    ['an aim a letter off', () => ['find', clay, '--aim', 'Limpt'], 2, 'Did you mean Limpet?'],
    [
      'an aim nobody knows',
      () => ['find', clay, '--aim', 'greenish'],
      2,
      'not a colour that can be read',
    ],
    ['an aim past white', () => ['find', clay, '--aim', '150,0,0'], 2, "The aim's L is 150"],
    [
      'parts in halves',
      () => ['find', clay, '--aim', '50,0,0', '--parts', '2.5'],
      2,
      'a whole number from 1 to 100',
    ],
    [
      'a tolerance below 0',
      () => ['find', clay, '--aim', '50,0,0', '--tolerance', '-1'],
      2,
      '--tolerance is "-1"',
    ],
    [
      'a tolerance that is no number',
      () => ['find', clay, '--aim', '50,0,0', '--tolerance', 'NaN'],
      2,
      '--tolerance is "NaN"',
    ],
    ['an option without its value', () => ['find', clay, '--aim'], 2, '--aim wants a value'],
    ['a value for a switch', () => ['inspect', clay, '--json=yes'], 2, '--json takes no value'],
    [
      'an option twice',
      () => ['find', clay, '--aim', '50,0,0', '--aim', '60,0,0'],
      2,
      '--aim was given twice',
    ],
    [
      'nothing in --only',
      () => ['find', clay, '--aim', '50,0,0', '--only', ' , '],
      2,
      '--only names no clay',
    ],
    [
      'a stranger in --only',
      () => ['find', clay, '--aim', '50,0,0', '--only', 'Kelp, Sand'],
      2,
      '"Sand" is not among',
    ],
    [
      'a search without end',
      () => ['find', clay, '--aim', '50,0,0', '--parts', '100', '--clays', '8'],
      2,
      'recipes, more than can be checked',
    ],
  ])('%s', async (_name, words, exit, says) => {
    const before = contents();
    const plain = await callHere(words());
    expect(plain.err).toContain(says);
    expect(plain.err).toMatch(/^kneadwell: [^\n]+\n$/);
    expect(plain.err).not.toMatch(/error|invalid|undefined|NaN is|!|\bat .*\.ts:/i);
    expect([plain.code, plain.out]).toEqual([exit, '']);
    const asJson = await callHere([...words(), '--json']);
    // A doubled or valued --json is itself the error; the line is JSON all the same.
    const { fault } = JSON.parse(asJson.err);
    expect([asJson.code, asJson.out]).toEqual([exit, '']);
    expect(fault.detail.length).toBeGreaterThan(10);
    expect(fault.hint.length).toBeGreaterThan(5);
    expect(contents()).toEqual(before);
  });

  it('of an unreadable file is reported', async () => {
    const locked = inside('locked.csv');
    writeFileSync(locked, 'tile,of,L,a,b\n');
    chmodSync(locked, 0o000);
    const { code, err } = await callHere(['learn', locked, '--out', clay]);
    // The root user may read everything; then the file is merely empty.
    expect(code).toBe(process.getuid?.() === 0 ? 2 : 5);
    expect(err).toContain('locked.csv');
    rmSync(locked);
  });
});

describe('a damaged clay file', () => {
  it('is refused wherever a byte was changed, cut or put in', async () => {
    const whole = readFileSync(clay);
    const hurt = inside('hurt.json');
    // Places from a fixed linear congruential generator: the same on every run.
    let state = 7;
    const draw = (below: number) => (state = (state * 1103515245 + 12345) % 2147483648) % below;
    for (let n = 0; n < 120; n++) {
      const at = draw(whole.length - 2);
      const bytes = Buffer.from(whole);
      const kind = n % 3;
      // Only a changed digit would pass for a number.
      const digit = /[0-8]/.test(String.fromCharCode(bytes[at]));
      bytes[at] = digit ? bytes[at] + 1 : bytes[at] ^ (1 + draw(127));
      const reply =
        kind === 0
          ? bytes
          : kind === 1
            ? whole.subarray(0, at)
            : Buffer.concat([whole.subarray(0, at), Buffer.from('0'), whole.subarray(at)]);
      if (isSameJson(reply, whole)) continue;
      writeFileSync(hurt, reply);
      const { code, out, err } = await callHere(['predict', hurt, '--of', 'Kelp']);
      expect([out, [2, 4].includes(code ?? -1)], `byte ${at}, way ${kind}: ${err}`).toEqual([
        '',
        true,
      ]);
      expect(err).toMatch(/^kneadwell: .*hurt\.json is (a|no) clay model[^\n]*\n$/);
    }
  });

  it.each([
    ['another version', '"version": 3', '"version": 1', 4, 'of version 1'],
    ['another prior', /"priorHash": "[^"]*"/, '"priorHash": "elsewhere"', 2, 'changed or damaged'],
    ['a number out of range', '"dilution":', '"dilution":1e999,"x":', 2, 'changed or damaged'],
  ] as const)('%s', async (_name, from, to, exit, says) => {
    const hurt = inside('hurt.json');
    writeFileSync(hurt, readFileSync(clay, 'utf8').replace(from, to));
    const { code, err } = await callHere(['inspect', hurt]);
    expect(err).toContain(says);
    expect(code).toBe(exit);
  });
});

/** White space between values may be damaged without harm. */
function isSameJson(bytes: Uint8Array, whole: Uint8Array): boolean {
  const parse = (b: Uint8Array) => JSON.stringify(JSON.parse(new TextDecoder().decode(b)));
  try {
    return parse(bytes) === parse(whole);
  } catch {
    return false;
  }
}

describe('a disk that fails', () => {
  const failing = (code: string, when: 'write' | 'sync') => (shell: CliShell) => {
    const fail = (): never => {
      throw Object.assign(new Error(code), { code });
    };
    const pass = () => {};
    const calls = { write: when === 'write' ? fail : pass, sync: when === 'sync' ? fail : pass };
    return { ...shell, ports: { ...shell.ports, files: diskFiles(calls) } };
  };

  it.each([
    ['ENOSPC', 'write', 'the disk is full'],
    ['ENOSPC', 'sync', 'the disk is full'],
    ['EIO', 'sync', 'the disk did not answer'],
    ['EZZZ', 'write', 'the system says EZZZ'],
  ] as const)('%s at %s leaves the last clay file and nothing else', async (code, when, says) => {
    const before = contents();
    const called = await callHere(['learn', tiles, '--out', clay], failing(code, when));
    expect(called.err).toContain(says);
    expect([called.code, called.out]).toEqual([5, '']);
    expect(contents()).toEqual(before);
  });
});

describe('writing', () => {
  it('goes through a link to the file itself, and to a device as it is', async () => {
    const target = inside('kept.json');
    const link = inside('link.json');
    writeFileSync(target, '');
    symlinkSync(target, link);
    expect((await callHere(['learn', tiles, '--out', link])).code).toBe(0);
    expect(readFileSync(target).equals(readFileSync(clay))).toBe(true);
    expect((await callHere(['learn', tiles, '--out', '/dev/null'])).code).toBe(0);
    expect(readFileSync('/dev/null')).toHaveLength(0);
    rmSync(link);
    rmSync(target);
  });
});

describe('the process', () => {
  it('ends quietly when its reader has seen enough', async () => {
    const rows = Array.from({ length: 4000 }, (_, i) => `${i + 1} Kelp + 1 Foam`);
    writeFileSync(inside('many.csv'), ['of', ...rows].join('\n'));
    const child = start(['predict', clay, '--from', inside('many.csv'), '--json'], folder);
    let err = '';
    child.stderr.on('data', (text) => {
      err += text;
    });
    child.stdout.once('data', () => child.stdout.destroy());
    const code = await new Promise((done) => child.on('close', done));
    expect([code, err]).toEqual([0, '']);
  });

  it('stops at once when asked to, and writes nothing', async () => {
    const rows = Array.from({ length: 20_000 }, (_, i) => `${i + 1} Kelp + 1 Foam`);
    writeFileSync(inside('more.csv'), ['of', ...rows].join('\n'));
    const before = contents();
    // A command without a best answer so far; a find has one, see test/journeys/find.test.ts.
    const child = start(['predict', clay, '--from', inside('more.csv'), '--json'], folder);
    let out = '';
    child.stdout.on('data', (text) => {
      out += text;
    });
    const closed = new Promise((done) => child.on('close', (_code, name) => done(name)));
    await new Promise((done) => setTimeout(done, 1000));
    child.kill('SIGINT');
    const signal = await closed;
    expect([signal, out]).toEqual(['SIGINT', '']);
    expect(contents()).toEqual(before);
  });
});

describe('help', () => {
  it('leaves a space between an option and what the option is for', async () => {
    for (const verb of ['buying-list', 'find', 'print', 'try']) {
      const { out } = await callHere([verb, '--help']);
      expect(out).not.toMatch(/^ {2}--\S+ "[^"]*"\S/m);
    }
  });

  it('of the program names every verb, and of every verb its options', async () => {
    const program = await callHere(['--help']);
    expect([program.code, program.err]).toEqual([0, '']);
    for (const verb of ['learn', 'predict', 'find', 'inspect']) {
      expect(program.out).toContain(`kneadwell ${verb} `);
      const own = await callHere([verb, '--help']);
      expect([own.code, own.err]).toEqual([0, '']);
      const options =
        verb === 'learn' ? ['--json', '--basis'] : ['--json', '--light', '--observer'];
      for (const option of options) expect(own.out).toContain(option);
      expect(own.out.includes('--light')).toBe(verb !== 'learn');
      expect((await callHere(['help', verb])).out).toBe(own.out);
      expect((await callHere([verb, '-h'])).out).toBe(own.out);
    }
    expect((await callHere([])).out).toBe(program.out);
    expect((await callHere(['--version'])).out).toBe('kneadwell 0.0.0\n');
  });
});
