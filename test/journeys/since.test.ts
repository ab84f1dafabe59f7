import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import { deltaE2000 } from '../../src/core/colour/difference.ts';
import { canonicalJson, sha256Of } from '../../src/domain/canonical-json.ts';
import { callHere, DEMO } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell since '));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const inside = (name: string) => join(folder, name);
const written = (name: string, lines: readonly string[]) => {
  writeFileSync(inside(name), `${lines.join('\n')}\n`);
  return inside(name);
};

const demo = readFileSync(DEMO[0], 'utf8').trimEnd().split('\n').slice(1);
/** The demo studio before it met Urchin, and before the third tint of Anemone was baked. */
const before = demo.filter((line) => !/Urchin|Anemone 3/.test(line));

const lab = z.tuple([z.number(), z.number(), z.number()]);
const moved = z.array(
  z.strictObject({
    of: z.string(),
    before: lab,
    after: lab,
    dE00: z.number().min(0),
    plusMinus: z.strictObject({ before: z.number().positive(), after: z.number().positive() }),
    surprise: z.number().min(0),
  }),
);
const changesShape = z.strictObject({
  since: z.string(),
  added: z.array(z.string()),
  gone: z.array(z.string()),
  moved,
  surprising: moved,
  surer: moved,
  lessSure: moved,
  awayFromTile: z.array(
    z.strictObject({ tile: z.string(), before: z.number(), after: z.number().min(1.8) }),
  ),
  contradicting: z.array(z.strictObject({ tile: z.string(), sentence: z.string() })),
});

const old = inside('old.json');
beforeAll(async () => {
  const { code } = await callHere(['learn', written('old.csv', before), '--out', old]);
  expect(code).toBe(0);
});

async function changes(readings: string, ...words: string[]) {
  const out = inside('new.json');
  const called = await callHere(['learn', readings, '--out', out, '--since', old, ...words]);
  expect([called.code, called.err]).toEqual([0, '']);
  return called.out;
}

describe('learn --since', () => {
  it('says what is new and what moved, in numbers and in words', async () => {
    const readings = written('all.csv', demo);
    const answer = changesShape.parse(JSON.parse(await changes(readings, '--json')).changes);
    expect([answer.since, answer.added, answer.gone]).toEqual([old, ['Urchin'], []]);
    expect(answer.moved.some(({ of }) => of.includes('Urchin'))).toBe(false);
    // Nine clays of both, each alone and with white; and recipes as they were written.
    const of = answer.moved.map((row) => row.of);
    expect(of).toEqual(expect.arrayContaining(['Kelp', '1 Kelp + 3 Foam', '16 Foam + 1 Mussel']));
    expect(new Set(of).size).toBe(of.length);
    for (const row of answer.moved) expect(row.dE00).toBe(deltaE2000(row.before, row.after));
    const text = await changes(readings);
    expect(text).toContain(`What changed since ${old}?`);
    expect(text).toContain('  New: Urchin.');
    expect(text).toContain(`  ${answer.moved.length} mixes predicted by both`);
  });

  it('names the tiles that a slip of the pen made disagree, and says so only the first time', async () => {
    const slip = demo.map((line) =>
      line.startsWith('Kelp 2,') ? line.replace('1 Kelp', '9 Kelp') : line,
    );
    const readings = written('slip.csv', slip);
    const answer = changesShape.parse(JSON.parse(await changes(readings, '--json')).changes);
    expect(answer.contradicting.map(({ tile }) => tile)).toEqual(['Kelp 2']);
    const out = inside('slip.json');
    const twice = ['learn', readings, '--out', out];
    await callHere(twice);
    const again = await callHere([...twice, '--since', out, '--json']);
    // Learned from the same readings, and the file compared with is the one replaced.
    const same = changesShape.parse(JSON.parse(again.out).changes);
    expect([same.contradicting, same.surprising]).toEqual([[], []]);
    expect(Math.max(...same.moved.map(({ dE00 }) => dE00))).toBeLessThan(1e-6);
  });

  it('finds clays again whatever their spelling, and says which are gone', async () => {
    const fewer = demo
      .filter((line) => !/Barnacle|Urchin/.test(line))
      .map((line) => line.replaceAll('Kelp', 'KELP'));
    const answer = changesShape.parse(
      JSON.parse(await changes(written('fewer.csv', fewer), '--json')).changes,
    );
    expect([answer.added, answer.gone]).toEqual([[], ['Barnacle']]);
    expect(answer.moved.map(({ of }) => of)).toContain('KELP');
  });

  it('is refused where the two cannot be compared, and nothing is written', async () => {
    const out = inside('none.json');
    const since = async (path: string, ...words: string[]) => {
      const answer = await callHere([
        'learn',
        inside('old.csv'),
        '--out',
        out,
        '--since',
        path,
        ...words,
      ]);
      expect(() => readFileSync(out)).toThrow();
      return answer;
    };
    const weight = await since(old, '--basis', 'weight');
    expect(weight.code).toBe(2);
    expect(weight.err).toContain('was learned by volume, and these readings count parts by weight');
    const { seal: _seal, ...body } = JSON.parse(readFileSync(old, 'utf8'));
    const other = { ...body, priorHash: 'another' };
    writeFileSync(
      inside('other.json'),
      JSON.stringify({ ...other, seal: sha256Of(canonicalJson(other)) }),
    );
    const prior = await since(inside('other.json'));
    expect(prior.code).toBe(4);
    expect(prior.err).toContain('what changed is not known');
    expect((await since(inside('nowhere.json'))).code).toBe(3);
    expect((await since(inside('old.csv'))).err).toContain('is no clay model');
  });
});

describe('an update of a clay file', () => {
  it('is compared with the file it replaces, which stays one call away', async () => {
    const out = inside('studio.json');
    const [first, all] = [inside('old.csv'), written('all of it.csv', demo)];
    await callHere(['learn', first, '--out', out]);
    const then = readFileSync(out, 'utf8');
    const checked = await callHere(['learn', all, '--out', out, '--check', '--json']);
    expect(changesShape.parse(JSON.parse(checked.out).changes).added).toEqual(['Urchin']);
    expect(readFileSync(out, 'utf8')).toBe(then);
    const updated = await callHere(['learn', all, '--out', out]);
    expect(updated.out).toContain(`What changed since ${out}?`);
    expect(updated.out).toContain('Surer now: ');
    expect(readFileSync(inside('studio.before.json'), 'utf8')).toBe(then);
    const now = readFileSync(out, 'utf8');
    expect((await callHere(['learn', '--use-before', '--out', out])).code).toBe(0);
    expect(readFileSync(out, 'utf8')).toBe(then);
    expect((await callHere(['learn', '--use-before', '--out', out])).code).toBe(0);
    expect(readFileSync(out, 'utf8')).toBe(now);
    const none = await callHere(['learn', '--use-before', '--out', inside('nowhere.json')]);
    expect([none.code, none.err]).toEqual([3, expect.stringContaining('Nothing was changed')]);
  });

  it('takes the gloss that is stated for a whole file', async () => {
    const said = async (gloss: string) => {
      const call = [
        'learn',
        written('g.csv', demo.slice(0, 5)),
        '--out',
        inside('g.json'),
        '--gloss',
        gloss,
      ];
      return JSON.parse((await callHere([...call, '--check', '--json'])).out).notes.join(' ');
    };
    expect(await said('excluded')).not.toContain('do not state whether they include the gloss');
    expect(await said('included')).not.toContain('do not state whether they include the gloss');
  });
});

describe('colours that were not measured', () => {
  const extra = [
    'Kelp in a picture,Kelp,claimed,,60,30,-30,0.1',
    'Squid 1,Squid,claimed,,60,20,20,',
    'Squid 2,1 Squid + 3 Foam,rough,,75,10,12,',
    'Opal 1,Opal,,pearl,88,3,4,',
    'Opal 2,1 Opal + 3 Foam,,,92,1,3,',
  ];

  /** Four clays and their mixes: weighing what may be wrong takes long where tiles are many. */
  const few = before.filter((line, row) => {
    const clays = line.split(',')[1].match(/[A-Z]\w+/g) ?? [];
    return row === 0 || clays.every((clay) => /^(?:Kelp|Foam|Limpet|Mussel)$/.test(clay));
  });

  it('move the measured ones by next to nothing, and are marked everywhere', async () => {
    const fewer = written('few.csv', few);
    const fewLearned = inside('few.json');
    await callHere(['learn', fewer, '--out', fewLearned]);
    const more = written('more.csv', ['tile,of,kind,effect,L,a,b,spread', ...extra]);
    const out = inside('kinds.json');
    const words = ['learn', fewer, more, '--out', out, '--since', fewLearned];
    const said = JSON.parse((await callHere([...words, '--json'])).out);
    const answer = changesShape.parse(said.changes);
    expect(answer.added).toEqual(['Squid', 'Opal']);
    // The picture is of another hue altogether; one measured tile of 0.5 weighs as much as 164 of 6.4.
    const kelp = answer.moved.find(({ of }) => of === 'Kelp');
    expect(kelp?.dE00).toBeLessThan(0.5);
    expect(said.notes).toEqual([
      expect.stringContaining('line 2: a claimed colour'),
      expect.stringContaining('do not state whether they include the gloss'),
    ]);
    const known = Object.fromEntries(
      said.report.clays.map((p: { name: string; knownFrom: string }) => [p.name, p.knownFrom]),
    );
    expect(known).toMatchObject({ Kelp: 'measured', Squid: 'rough', Opal: 'measured' });
    const sorts = new Map<string, number>(
      said.report.apart.map(({ of, readings }: { of: string; readings: number }) => [of, readings]),
    );
    const measured = few.filter((line) => !/,raw,/.test(line)).length - 1;
    const {
      mixes = 0,
      plain = 0,
      only = 0,
    } = Object.fromEntries([
      ['mixes', sorts.get('mixes')],
      ['plain', sorts.get('plain tiles')],
      ['only', sorts.get('only plain tiles')],
    ]);
    expect(mixes + plain + only).toBe(measured);
    // Mixes come first, as they say how well recipes come out.
    expect([...sorts.keys()][0]).toBe('mixes');
    expect(sorts.get('mixes, not measured')).toBe(1);
    expect(sorts.get('plain tiles, not measured')).toBe(2);
    expect(sorts.get('special clay')).toBe(2);
    const text = (await callHere(words)).out;
    expect(text).toMatch(/^ {2}Squid +opaque +rough +2 /m);
    expect(text).toMatch(/^ {2}Opal +white, pearl +measured +2 /m);
    expect(text).toMatch(/^ {4}plain tiles, not measured: .* \(2 readings\)$/m);
    const seen = await callHere(['inspect', out]);
    expect(seen.out).toMatch(/^ {2}Squid .* rough +2 +1 /m);
    expect(seen.out).toContain('Squid 1 (claimed)');
    const inspected = JSON.parse((await callHere(['inspect', out, '--json'])).out);
    const [squid] = inspected.clays.filter((p: { name: string }) => p.name === 'Squid');
    expect(squid.readings).toEqual({ claimed: 1, rough: 1 });
  });

  it('are refused on a mix that claims an effect, by name of the column', async () => {
    const bad = written('bad.csv', ['tile,of,effect,L,a,b', 'T1,Kelp + Foam,pearl,50,0,0']);
    const { code, err } = await callHere(['learn', bad, '--out', inside('none.json')]);
    expect(code).toBe(2);
    expect(err).toContain('line 2, column 3 (effect)');
    expect(err).toContain('alone');
  });
});
