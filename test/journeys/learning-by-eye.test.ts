import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { deltaE2000 } from '../../src/core/colour/difference.ts';
import { type Mix, type Paint, paint, randomFrom, trueLab } from '../conformance/virtual-studio.ts';
import { callHere } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell eye '));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Clays of a studio, each of a measured paint: invented names, real ways of mixing. */
const CLAYS: Readonly<Record<string, Paint>> = {
  Foam: paint('Titanium White'),
  Ink: paint('Bone Black'),
  Anemone: paint('Pyrrole Red'),
  Tidepool: paint('Cobalt Blue'),
  Limpet: paint('Diarylide Yellow'),
  Kelp: paint('Phthalo Green Yellow Shade'),
  Urchin: paint('Dioxazine Purple'),
  Starfish: paint('Pyrrole Orange'),
  Coral: paint('Quinacridone Magenta'),
};
const names = Object.keys(CLAYS);
type Recipe = readonly (readonly [name: string, parts: number])[];

const mixOf = (recipe: Recipe): Mix => recipe.map(([name, parts]) => [CLAYS[name], parts]);
/** An eye looks past the gloss. */
const colourOf = (recipe: Recipe) => trueLab(mixOf(recipe), { geometry: 'excluded' });
const words = (recipe: Recipe) => recipe.map(([name, n]) => `${n} ${name}`).join(' + ');

const PLAIN: readonly Recipe[] = names.map((name) => [[name, 1]]);
const MIXES: readonly Recipe[] = [
  ...['Anemone', 'Tidepool', 'Limpet', 'Kelp', 'Urchin'].map(
    (name): Recipe => [
      [name, 1],
      ['Foam', 6],
    ],
  ),
  [
    ['Limpet', 3],
    ['Kelp', 1],
  ],
  [
    ['Anemone', 1],
    ['Limpet', 2],
  ],
  [
    ['Tidepool', 2],
    ['Foam', 3],
    ['Ink', 1],
  ],
  [
    ['Starfish', 1],
    ['Foam', 6],
  ],
  [
    ['Coral', 1],
    ['Foam', 6],
  ],
];
/** Tiles whose codes were exchanged on the tray: the yellow-green and the grey-blue. */
const EXCHANGED = [5, 7] as const;

/** Colours typed by eye: each a little off, all of one screen off together. */
function readingsOf(recipes: readonly Recipe[], exchanged: readonly (readonly [number, number])[]) {
  const random = randomFrom(99);
  const shared = [0, 0, 0].map(() => 1 * random.normal());
  const colours = recipes.map((recipe) =>
    colourOf(recipe).map((v, k) => v + shared[k] + 2 * random.normal()),
  );
  for (const [one, other] of exchanged) {
    [colours[one], colours[other]] = [colours[other], colours[one]];
  }
  const rows = recipes.map((recipe, i) => {
    const lab = colours[i].map((v) => v.toFixed(2)).join(',');
    return `T${i + 1},${words(recipe)},by eye,${lab}`;
  });
  return ['tile,of,kind,L,a,b', ...rows, ''].join('\n');
}

/** Colours the studio can make, none of them a tile. */
const AIMS: readonly Recipe[] = [
  [
    ['Anemone', 1],
    ['Foam', 3],
  ],
  [
    ['Tidepool', 1],
    ['Limpet', 2],
    ['Foam', 2],
  ],
  [
    ['Kelp', 1],
    ['Limpet', 5],
  ],
  [
    ['Urchin', 1],
    ['Foam', 9],
  ],
  [
    ['Coral', 2],
    ['Limpet', 1],
    ['Foam', 3],
  ],
  [
    ['Starfish', 2],
    ['Tidepool', 1],
  ],
  [
    ['Limpet', 1],
    ['Foam', 4],
  ],
  [
    ['Ink', 1],
    ['Foam', 5],
    ['Tidepool', 1],
  ],
];

const out = join(folder, 'clay.json');

/** Learns, and measures how far the first recipe for each colour comes out from the colour. */
async function step(name: string, readings: string) {
  const file = join(folder, `${name}.csv`);
  writeFileSync(file, readings);
  const learned = await callHere(['learn', file, '--out', out, '--json']);
  expect([learned.code, learned.err]).toEqual([0, '']);
  const errors: number[] = [];
  for (const aim of AIMS) {
    const wanted = colourOf(aim);
    const call = ['find', out, '--aim', wanted.join(','), '--clays', '3', '--parts', '8', '--json'];
    const found = await callHere(call);
    const [first] = JSON.parse(found.out).recipes;
    errors.push(deltaE2000(colourOf(Object.entries(first.parts) as unknown as Recipe), wanted));
  }
  return {
    mean: errors.reduce((sum, e) => sum + e, 0) / errors.length,
    learned: JSON.parse(learned.out),
  };
}

it('gets better recipes at every step, or the reason is given', async () => {
  const plain = await step('plain', readingsOf(PLAIN, []));
  expect(plain.learned.changes).toBeUndefined();
  expect(plain.learned.report.apart.map(({ of }: { of: string }) => of)).toEqual([
    'plain tiles, not measured',
  ]);

  const five = await step('five', readingsOf([...PLAIN, ...MIXES.slice(0, 5)], []));
  expect(five.mean).toBeLessThan(plain.mean);
  // The update says against the model before what became surer.
  expect(five.learned.changes.surer.length).toBeGreaterThan(0);
  expect(five.learned.report.apart[0].of).toBe('mixes, not measured');

  const first = PLAIN.length;
  const exchanged = [[first + EXCHANGED[0], first + EXCHANGED[1]] as const];
  const wrong = await step('wrong', readingsOf([...PLAIN, ...MIXES], exchanged));
  // Both are named: as a tile that disagrees or seems wrong, or as a mix that moved further than it should.
  const { report, changes, explanations = [] } = wrong.learned;
  const named = [
    ...report.outlying.map(({ tile }: { tile: string }) => tile),
    ...changes.surprising.map(({ of }: { of: string }) => of),
    ...explanations.flatMap(({ tiles }: { tiles: readonly string[] }) => tiles),
  ];
  for (const i of EXCHANGED) {
    expect(named.includes(`T${first + i + 1}`) || named.includes(words(MIXES[i]))).toBe(true);
  }

  const right = await step('right', readingsOf([...PLAIN, ...MIXES], []));
  // The recipes are better with the two wrong tiles than without them, and no worse once they are right.
  expect(wrong.mean).toBeLessThan(five.mean);
  expect(right.mean).toBeLessThan(five.mean);
  // The model before the correction is one call away.
  const back = await callHere(['learn', '--use-before', '--out', out]);
  expect([back.code, back.out]).toEqual([0, expect.stringContaining('the model before')]);
});
