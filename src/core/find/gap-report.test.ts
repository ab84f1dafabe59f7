import { beforeAll, describe, expect, it } from 'vitest';
import {
  DEMO_STOCK,
  demoClay,
  distanceOf,
  findIn,
  type Parts,
  UNSTOPPED,
} from '../../../test/conformance/demo-clay.ts';
import type { FindAnswer } from '../../verbs/find-answer.ts';
import type { OpenClay } from '../../verbs/open-clay.ts';
import type { Viewing } from '../colour/adaptation.ts';
import { colourName } from '../colour/colour-name.ts';
import { lchFromLab } from '../colour/spaces.ts';
import type { Lab } from '../colour/triples.ts';
import type { Recipe } from '../notation/notation.ts';
import { type Side, sidesOf } from '../verdict/verdict.ts';
import type { FindTask } from './find-plan.ts';
import type { GapReport, Relaxation } from './gap-report.ts';
import type { RulesInWords } from './rules-in-words.ts';

const D50: Viewing = { light: 'D50', observer: 2 };
/** A green that no clay of the demo comes close to. */
const GREEN: Lab = [70.4, -53.1, 34];

let clay: OpenClay;
beforeAll(async () => {
  clay = await demoClay();
});

const whole = (question: Partial<FindTask> & { aim: Lab }): FindTask => ({
  viewing: D50,
  tolerance: 1.8,
  mostClays: 3,
  parts: 8,
  top: 5,
  stock: DEMO_STOCK,
  ...question,
});
const ask = (question: FindTask): Promise<FindAnswer> => findIn(clay, question);
const partsOf = (recipe: Recipe): Parts =>
  Object.fromEntries(recipe.map(({ clay, parts }) => [clay, parts]));

function shortOf({ gapReport }: FindAnswer): GapReport {
  if (gapReport === undefined) throw new Error('something came close enough');
  return gapReport;
}

/** The question changed as a help suggests. */
function relaxed(question: FindTask, { kind, of, value }: Relaxation): FindTask {
  if (kind === 'parts') return { ...question, parts: value ?? Number.NaN };
  if (kind === 'clays') return { ...question, mostClays: value ?? Number.NaN };
  const rules: RulesInWords = { ...question.rules };
  if (kind === 'effects') return { ...question, rules: { ...rules, effects: true } };
  if (kind === 'atLeast' || kind === 'atMost') {
    const left = (rules[kind] ?? []).filter((share) => share.of !== of);
    return { ...question, rules: { ...rules, [kind]: left } };
  }
  return { ...question, rules: { ...rules, [kind]: undefined } };
}

const RULED: readonly [string, Partial<FindTask> & { aim: Lab }][] = [
  ['too few clays', { aim: [60, -12, 22], rules: { only: ['Foam', 'Urchin', 'Anemone'] } }],
  ['a clay left out', { aim: [58, -16, 24], rules: { without: ['Kelp'] } }],
  ['one line', { aim: [60, -12, 22], rules: { lines: ['Brindle'], must: ['Urchin'] } }],
  [
    'many shares',
    {
      aim: [60, -12, 22],
      rules: {
        atMost: [
          { of: 'Foam', share: 0.2 },
          { of: 'pastel', share: 0.1 },
        ],
        atLeast: [{ of: 'Brindle', share: 0.5 }],
      },
    },
  ],
  ['half parts', { aim: [75, 20, 10], parts: 12, rules: { halfPart: 0.6, mostLines: 1 } }],
  ['a large batch', { aim: [45, -20, 22], rules: { batchG: 900 } }],
  ['few parts', { aim: [66, -20, 19], parts: 3, mostClays: 2 }],
  [
    'two lights',
    { aim: [40, 8, -30], otherViewings: [{ light: 'A', observer: 2 }], rules: { must: ['Foam'] } },
  ],
];

describe('what would help', () => {
  /** Answers to the questions themselves, each asked once. */
  const answered = new Map<string, Promise<FindAnswer>>();
  const answerTo = (name: string, question: FindTask) => {
    const answer = answered.get(name) ?? ask(question);
    answered.set(name, answer);
    return answer;
  };

  it.each(RULED)('is true: when done, it gives what was said (%s)', async (name, answers) => {
    const question = whole(answers);
    const found = await answerTo(name, question);
    const { helps, dE00 } = shortOf(found);
    expect(dE00).toBe(found.recipes[0]?.dE00);
    expect(helps.length).toBeGreaterThan(0);
    for (const help of helps) {
      const [first] = (await ask(relaxed(question, help))).recipes;
      expect(first.dE00).toBeCloseTo(help.dE00, 9);
      expect(first.parts).toEqual(help.recipe);
      expect(help.dE00).toBeLessThan((dE00 ?? Number.POSITIVE_INFINITY) - 0.1 + 1e-9);
    }
    const far = helps.map((help) => help.dE00);
    expect(far).toEqual(far.toSorted((one, other) => one - other));
  });

  it.each(RULED)('leaves out nothing that would (%s)', async (name, answers) => {
    const question = whole(answers);
    const found = await answerTo(name, question);
    const { helps, dE00 = Number.POSITIVE_INFINITY } = shortOf(found);
    const given = helps.map(({ kind, of }) => `${kind} ${of ?? ''}`);
    for (const kind of Object.keys(question.rules ?? {}) as (keyof RulesInWords)[]) {
      const groups = kind === 'atLeast' || kind === 'atMost' ? question.rules?.[kind] : undefined;
      for (const { of } of groups ?? [{ of: undefined }]) {
        const help = { kind, ...(of === undefined ? {} : { of }) } as Relaxation;
        // What helps past the tolerance is enough here: the rest of the answer is not needed.
        const without = await ask({ ...relaxed(question, help), tolerance: 100, top: 1 }).catch(
          () => undefined,
        );
        const better = without?.recipes[0] !== undefined && without.recipes[0].dE00 < dE00 - 0.1;
        expect(given.includes(`${kind} ${of ?? ''}`)).toBe(better);
      }
    }
  });

  it('lets a recipe through where the rules leave none', async () => {
    const question = whole({
      aim: [60, -12, 22],
      rules: {
        only: ['Foam', 'Kelp'],
        atMost: [
          { of: 'Foam', share: 0.4 },
          { of: 'Kelp', share: 0.4 },
        ],
      },
    });
    const found = await ask(question);
    expect(found.recipes).toEqual([]);
    expect(found.proven).toBe(true);
    const { helps, dE00, sides, insteads, missing } = shortOf(found);
    expect([dE00, sides, insteads, missing]).toEqual([undefined, [], [], undefined]);
    expect(helps.map(({ kind, of = '' }) => `${kind} ${of}`).toSorted()).toEqual([
      'atMost Foam',
      'atMost Kelp',
      'only ',
    ]);
    for (const help of helps) {
      const [first] = (await ask(relaxed(question, help))).recipes;
      expect(first.parts).toEqual(help.recipe);
    }
  });
});

describe('how the best recipe falls short', () => {
  it('is given by its sides, with the differences the user might accept instead', async () => {
    const question = whole({ aim: GREEN });
    const found = await ask(question);
    const { sides, insteads } = shortOf(found);
    expectSides(sides, found.recipes[0].lab);
    expect(sides[0].word).toBe('duller');
    expect(insteads.length).toBeGreaterThan(0);
    for (const { relax, recipe, sides } of insteads) {
      const [first] = (await ask({ ...question, relax })).recipes;
      expect(first.parts).toEqual(recipe);
      expectSides(sides, first.lab);
      // It is another recipe, and plainly farther off when all three count in full.
      expect(recipe).not.toEqual(found.recipes[0].parts);
      expect(distanceOf(clay, partsOf(recipe), GREEN, [D50])).toBeGreaterThan(
        found.recipes[0].dE00 - 1e-9,
      );
    }
  });

  function expectSides(sides: readonly Side[], lab: Lab): void {
    const own = sidesOf(GREEN, lab);
    expect(sides.map(({ word }) => word)).toEqual(own.map(({ word }) => word));
    sides.forEach(({ size }, i) => {
      expect(size).toBeCloseTo(own[i].size, 6);
    });
  }

  it('is not given again while a difference is accepted already', async () => {
    const { insteads } = shortOf(await ask(whole({ aim: GREEN, relax: 'hue' })));
    expect(insteads).toEqual([]);
  });
});

describe('a clay that is missing', () => {
  it('is of the hue and lightness of the aim, and would bring it within the tolerance', async () => {
    const { missing } = shortOf(await ask(whole({ aim: GREEN })));
    if (missing === undefined) throw new Error('nothing was missing');
    const [l, c, h] = lchFromLab(missing.lab);
    const [aimL, aimC, aimH] = lchFromLab(GREEN);
    expect(l).toBeCloseTo(aimL, 9);
    expect(h).toBeCloseTo(aimH, 9);
    expect(c).toBeCloseTo(missing.chroma, 9);
    expect(missing.chroma).toBeLessThanOrEqual(aimC);
    expect(missing.name).toBe(colourName(missing.lab).name);
    expect(missing.dE00).toBeLessThanOrEqual(1.8);
    // A narrower tolerance needs at least as much chroma.
    const narrow = shortOf(await ask(whole({ aim: GREEN, tolerance: 0.5 }))).missing;
    expect(narrow?.chroma).toBeGreaterThanOrEqual(missing.chroma);
    expect(narrow?.dE00).toBeLessThanOrEqual(0.5);
  });

  it('is the same on a computer that is slow or busy', async () => {
    let ms = 0;
    const slow = { ...UNSTOPPED, nowMs: () => (ms += 3000) };
    const question = whole({ aim: GREEN });
    expect(shortOf(await findIn(clay, question, slow))).toEqual(shortOf(await ask(question)));
  });

  it("is found whatever the distance of the user's clays", async () => {
    const only = { only: ['Urchin', 'Mussel'] };
    expect(shortOf(await ask(whole({ aim: GREEN, rules: only }))).missing).toBeDefined();
  });

  it('is none where no clay can look like that, or where there is no room for one', async () => {
    expect(shortOf(await ask(whole({ aim: [99.5, 0, 0] }))).missing).toBeUndefined();
    expect(shortOf(await ask(whole({ aim: [60, -90, 80] }))).missing).toBeUndefined();
    const full = whole({ aim: GREEN, mostClays: 1, rules: { must: ['Kelp'] } });
    expect(shortOf(await ask(full)).missing).toBeUndefined();
  });
});
