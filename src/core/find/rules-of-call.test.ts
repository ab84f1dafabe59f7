import { beforeAll, describe, expect, it } from 'vitest';
import { DEMO_STOCK, demoClay } from '../../../test/conformance/demo-clay.ts';
import type { OpenClay } from '../../verbs/open-clay.ts';
import { AppError } from '../errors.ts';
import type { Basis } from '../mixes/mix-graph.ts';
import type { StockRow } from './known-clays.ts';
import type { RulesInWords } from './rules-in-words.ts';
import { partWeights, rulesOfCall, stockByClay } from './rules-of-call.ts';

let clay: OpenClay;
beforeAll(async () => {
  clay = await demoClay();
});

interface Frame {
  readonly stock?: readonly StockRow[];
  readonly mostClays?: number;
  readonly parts?: number;
  readonly basis?: Basis;
}
const rulesOf = (
  words: RulesInWords,
  { stock = DEMO_STOCK, mostClays = 4, parts = 12, basis = 'volume' }: Frame = {},
) => rulesOfCall(clay, words, { stock, mostClays, parts, basis });
const names = (clays: readonly number[]) => clays.map((p) => clay.file.clays[p].name).toSorted();
const index = (name: string) => clay.file.clays.findIndex((clay) => clay.name === name);

function faultOf(words: RulesInWords, frame: Frame = {}): AppError {
  try {
    rulesOf(words, frame);
  } catch (fault) {
    if (fault instanceof AppError) return fault;
    throw fault;
  }
  throw new Error('nothing was refused');
}

describe('the rules of a call', () => {
  it('allow every flat clay by default, and others where asked for', () => {
    const all = names(clay.file.clays.map((_, i) => i));
    const flat = all.filter((name) => name !== 'Opal');
    const { allowed, rules } = rulesOf({}, { stock: [] });
    expect(names(allowed)).toEqual(flat);
    expect(rules).toEqual({});
    expect(names(rulesOf({ effects: true }).allowed)).toEqual(all);
    expect(names(rulesOf({ must: ['Opal'] }).allowed)).toEqual(all);
    expect(names(rulesOf({ atLeast: [{ of: 'pearl', share: 0.1 }] }).allowed)).toEqual(all);
    expect(names(rulesOf({ only: ['Opal', 'Kelp'] }).allowed)).toEqual(['Kelp', 'Opal']);
    // Asking for its line does not ask for the pearl in it; the stock says what else is not flat.
    expect(names(rulesOf({ atLeast: [{ of: 'Lantern', share: 0.1 }] }).allowed)).toEqual(flat);
    const stock = [{ name: 'Kelp', clayType: 'translucent' }];
    expect(names(rulesOf({}, { stock }).allowed)).toEqual(flat.filter((name) => name !== 'Kelp'));
  });

  it('take a group by its list of clays where the word alone is ambiguous', () => {
    const { most = [] } = rulesOf({
      atMost: [{ of: 'pearl', share: 0.2, clays: ['kelp', 'Limpet'] }],
    }).rules;
    expect(most.map(({ clays, share }) => [names(clays), share])).toEqual([
      [['Kelp', 'Limpet'], 0.2],
    ]);
  });

  it('ignore clays that may not be used at all, and say so of a clay that must be in it', () => {
    const usable = ['Foam', 'Kelp', 'Urchin'].map(index);
    const few = { ...clay, usable };
    const frame = { stock: DEMO_STOCK, mostClays: 4, parts: 12, basis: 'volume' } as const;
    expect(names(rulesOfCall(few, { without: ['Kelp'] }, frame).allowed)).toEqual([
      'Foam',
      'Urchin',
    ]);
    expect(() => rulesOfCall(few, { must: ['Limpet'] }, frame)).toThrow(
      'Limpet must be in every recipe and is not among the clays allowed.',
    );
  });

  it('find clays, lines and types in any spelling', () => {
    expect(names(rulesOf({ only: ['kelp', ' FOAM ', 'Kelp'] }).allowed)).toEqual(['Foam', 'Kelp']);
    expect(names(rulesOf({ lines: ['brindle'], without: ['Mussel'] }).allowed)).toEqual([
      'Anemone',
      'Urchin',
    ]);
    expect(rulesOf({ must: ['kelp', 'KELP'] }).rules.must).toEqual([index('Kelp')]);
    const { least = [], most = [] } = rulesOf({
      atLeast: [{ of: 'SALTMARSH', share: 0.5 }],
      atMost: [
        { of: 'pearl', share: 0.3 },
        { of: 'white', share: 0.4 },
        { of: 'limpet', share: 0.1 },
        { of: 'translucent', share: 0.2 },
      ],
    }).rules;
    expect(least.map(({ clays, share }) => [names(clays), share])).toEqual([
      [['Foam', 'Kelp', 'Lagoon', 'Periwinkle'], 0.5],
    ]);
    expect(most.map(({ clays, share }) => [names(clays), share])).toEqual([
      [['Opal'], 0.3],
      [['Foam'], 0.4],
      [['Limpet'], 0.1],
      [[], 0.2],
    ]);
  });

  it('count a clay of unknown line as a line of its own', () => {
    const stock = DEMO_STOCK.filter(({ name }) => name !== 'Urchin' && name !== 'Kelp');
    const { of } = rulesOf({ mostLines: 1 }, { stock }).rules.lines ?? { of: [] };
    expect(of[index('Foam')]).toBe(of[index('Lagoon')]);
    const alone = new Set([of[index('Urchin')], of[index('Kelp')], of[index('Foam')]]);
    expect(alone.size).toBe(3);
  });

  it('take no more of a clay than the stock holds, weighed by the basis of the parts', () => {
    const most = (frame: Frame = {}) =>
      rulesOf({ batchG: 100, effects: true }, frame).rules.most ?? [];
    const shares = (frame: Frame = {}) =>
      most(frame).map(({ clays, share }) => [...names(clays), share]);
    const expected = DEMO_STOCK.filter(({ onHandG }) => onHandG !== undefined && onHandG < 100).map(
      ({ name, onHandG = 0 }) => [name, onHandG / 100],
    );
    expect(shares().toSorted()).toEqual(expected.toSorted());
    const [{ weights = [] }] = most();
    expect(weights[index('Foam')]).toBe(1.6);
    expect(weights[index('Urchin')]).toBe(1.5);
    expect(most({ basis: 'weight' })[0].weights).toBeUndefined();
    // With one density unknown, all clays count as equally heavy.
    const withoutDensity = DEMO_STOCK.map(({ density, ...row }) =>
      row.name === 'Kelp' ? row : { ...row, density: density ?? 1 },
    );
    expect(most({ stock: withoutDensity })[0].weights).toBeUndefined();
  });
});

describe('unknown names', () => {
  it.each<[RulesInWords, string, string, string]>([
    [{ only: ['Klep'] }, 'clay-unknown', '"Klep" is not among', 'Did you mean Kelp?'],
    [{ without: ['Foma'] }, 'clay-unknown', '"Foma"', 'Did you mean Foam?'],
    [{ must: ['Sea'] }, 'clay-unknown', '"Sea"', 'Known clays: '],
    [{ lines: ['Brindel'] }, 'group-unknown', 'No line here is called "Brindel".', 'Brindle?'],
    [{ lines: ['Kelp'] }, 'group-unknown', 'called "Kelp"', 'The lines are Saltmarsh, '],
    [
      { atLeast: [{ of: 'Saltmrash', share: 0.5 }] },
      'group-unknown',
      'No line, kind of clay or clay here is called "Saltmrash".',
      'Did you mean Saltmarsh?',
    ],
    [
      { atMost: [{ of: 'perl', share: 0.5 }] },
      'group-unknown',
      'called "perl"',
      'Did you mean pearl?',
    ],
    [{ atMost: [{ of: 'barnacel', share: 0.5 }] }, 'group-unknown', '', 'Did you mean Barnacle?'],
    [{ lines: [''] }, 'group-unknown', 'called ""', 'The lines are'],
    [{ atMost: [{ of: '__proto__', share: 0.5 }] }, 'group-unknown', 'called "__proto__"', ''],
  ])('%j are refused with what may be meant', (words, code, detail, hint) => {
    const fault = faultOf(words);
    expect(fault.code).toBe(code);
    expect(fault.kind).toBe('bad-input');
    expect(fault.detail).toContain(detail);
    expect(fault.hint).toContain(hint);
  });

  it.each<RulesInWords>([{ lines: ['Saltmarsh'] }, { mostLines: 2 }])(
    '%j needs to know which clay is of which line',
    (words) => {
      for (const stock of [[], [{ name: 'Kelp', onHandG: 3 }]]) {
        const fault = faultOf(words, { stock });
        expect(fault.code).toBe('lines-unknown');
        expect(fault.hint).toContain('--stock');
      }
    },
  );
});

describe('rules that contradict', () => {
  it.each<[RulesInWords, string, Frame?]>([
    [{ only: ['Kelp'], without: ['Kelp'] }, 'These rules leave no clay to mix from.'],
    [{ lines: ['Brindle'], only: ['Kelp'] }, 'These rules leave no clay to mix from.'],
    [{ must: ['Kelp'], without: ['kelp'] }, 'Kelp must be in every recipe and is left out.'],
    [
      { must: ['Kelp'], only: ['Foam'] },
      'Kelp must be in every recipe and is not among the clays allowed.',
    ],
    [
      { must: ['Kelp'], lines: ['Brindle'] },
      'Kelp must be in every recipe and is not among the clays allowed.',
    ],
    [
      { must: ['Kelp', 'Foam', 'Limpet'] },
      '3 clays must be in every recipe, and a recipe has room for 2.',
      { mostClays: 2 },
    ],
    [
      { must: ['Kelp', 'Foam'] },
      '2 clays must be in every recipe, and a recipe has room for 1.',
      { parts: 1 },
    ],
    [
      { must: ['Kelp', 'Urchin', 'Limpet'], mostLines: 2 },
      'The clays that must be in every recipe come from 3 lines, and 2 are allowed.',
    ],
    [
      { must: ['Kelp', 'Urchin'], mostLines: 1 },
      'The clays that must be in every recipe come from 2 lines, and 1 is allowed.',
    ],
    [
      { atLeast: [{ of: 'Saltmarsh', share: 0.5 }], lines: ['Brindle'] },
      'At least 50 % Saltmarsh is required, but none of the clays to use is Saltmarsh.',
    ],
    [
      { atLeast: [{ of: 'translucent', share: 0.125 }] },
      'At least 12.5 % translucent is required, but none of the clays to use is translucent.',
    ],
    [
      {
        atLeast: [{ of: 'Saltmarsh', share: 0.5 }],
        atMost: [
          { of: 'pearl', share: 0.1 },
          { of: 'Saltmarsh', share: 0.2 },
        ],
      },
      'At least 50 % Saltmarsh is required, and at most 20 % Saltmarsh is allowed.',
    ],
    [
      { atLeast: [{ of: 'Foam', share: 0.5 }], atMost: [{ of: 'Saltmarsh', share: 0.2 }] },
      'At least 50 % Foam is required, and at most 20 % Saltmarsh is allowed.',
    ],
    [
      {
        atLeast: [
          { of: 'Saltmarsh', share: 0.6 },
          { of: 'Brindle', share: 0.5 },
        ],
      },
      'The least shares add up to 110 %.',
    ],
    [
      { must: ['Mussel'], atMost: [{ of: 'black', share: 0.05 }] },
      'Mussel must be in every recipe, and at most 5 % black is less than one part in 12.',
    ],
    [
      { must: ['Mussel'], batchG: 50 },
      'Mussel must be in every recipe, and the stock holds none of it.',
      { stock: [{ name: 'Mussel', onHandG: 0 }] },
    ],
    [
      { batchG: 50 },
      'A batch size is given, but there is no stock to take it from.',
      { stock: [] },
    ],
    [
      { batchG: 50 },
      'A batch size is given, but the stock gives no grams for any clay that may be used.',
      { stock: [{ name: 'Kelp', line: 'Saltmarsh' }] },
    ],
  ])('%j give one clear sentence', (words, sentence, frame) => {
    const fault = faultOf(words, frame);
    expect(fault.code).toBe('rules-contradict');
    expect(fault.kind).toBe('bad-input');
    expect(fault.detail).toBe(sentence);
    expect(fault.hint).toMatch(/^[A-Z][^.]+\.$/);
  });

  it.each<[RulesInWords, Frame?]>([
    [{ must: ['Kelp', 'Foam'] }, { mostClays: 2, parts: 2 }],
    [{ must: ['Mussel'], atMost: [{ of: 'black', share: 1 / 12 }] }],
    [{ must: ['Kelp', 'Urchin'], mostLines: 2 }],
    [
      {
        atLeast: [
          { of: 'Saltmarsh', share: 0.5 },
          { of: 'Brindle', share: 0.5 },
        ],
      },
    ],
    // One clay counts for both.
    [
      {
        atLeast: [
          { of: 'Saltmarsh', share: 0.6 },
          { of: 'white', share: 0.6 },
        ],
      },
    ],
    [{ atLeast: [{ of: 'translucent', share: 0 }] }],
    [{ atLeast: [{ of: 'Foam', share: 0.5 }], atMost: [{ of: 'white', share: 0.5 }] }],
  ])('are not %j', (words, frame) => {
    expect(() => rulesOf(words, frame)).not.toThrow();
  });
});

describe('a stock', () => {
  it('is found by name, without clays that were never learned', () => {
    const rows = stockByClay(clay, [
      { name: ' kelp', onHandG: 1 },
      { name: 'Squid', onHandG: 2 },
    ]);
    expect([...rows.keys()]).toEqual([index('Kelp')]);
    expect(partWeights(rows, [index('Kelp')], 'volume')).toBeUndefined();
  });
});
