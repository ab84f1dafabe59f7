import { describe, expect, it } from 'vitest';
import { SIX_NAMES, sixClays } from '../../test/six-clays.ts';
import { answeredAtOnce } from '../core/find/work-steps.ts';
import { type FigureAnswer, figure } from './figure.ts';

const priced = (currency: string) =>
  SIX_NAMES.map((name) => ({
    name,
    density: 1.4,
    packageG: 56,
    onHandG: 10,
    priceMinorPerG: 5,
    currency,
  }));

function answerTo(question: object): FigureAnswer {
  return answeredAtOnce(figure.ask(sixClays, question));
}

const FRONDS = '240 leaf 20 x 6 x 1 mm of 5 Kelp + 2 Limpet + 1 White';

describe('the plan of a figure', () => {
  it('needs the clay of its shapes, with what is lost and to spare', () => {
    const { shapes, batches, blocks, grams } = answerTo({
      shapes: [FRONDS],
      stock: priced('EUR'),
      spare: 0.2,
      cutterMm: 10,
      sheetMm: 2,
    });
    // A pointed leaf fills two thirds of its length times width; 12.5 % is lost.
    const cm3 = (240 * (2 / 3) * 20 * 6 * 1) / 1000;
    expect(shapes[0]?.totalCm3).toBeCloseTo(cm3, 9);
    expect(shapes[0]?.mixedCm3).toBeCloseTo(cm3 / 0.875, 9);
    expect(batches[0]?.neededG).toBeCloseTo((1.2 * 1.4 * cm3) / 0.875, 6);
    expect(batches[0]?.makesG).toBeGreaterThanOrEqual(batches[0]?.neededG ?? Number.NaN);
    expect(batches[0]?.roundingDE00).toBeLessThan(0.41);
    expect(grams).toBeCloseTo(batches[0]?.makesG ?? 0, 6);
    for (const { usedG, onHandG = 0, packageG = 0, buy = 0, leftG } of blocks) {
      expect(leftG).toBeCloseTo(onHandG + buy * packageG - usedG, 6);
      expect(leftG).toBeGreaterThanOrEqual(-1e-6);
      // One package less would not be enough.
      if (buy > 0) expect(onHandG + (buy - 1) * packageG).toBeLessThan(usedG);
    }
  });

  it('costs the clay used, in all and for one, and the hours', () => {
    const { cost, grams } = answerTo({
      shapes: [FRONDS],
      stock: priced('EUR'),
      copies: 4,
      hours: 3,
      hourlyMinor: 2000,
    });
    expect(cost.currency).toBe('EUR');
    expect(cost.clayMinor).toBe(Math.round(5 * grams));
    expect(cost.workMinor).toBe(6000);
    expect(cost.eachMinor).toBeCloseTo((5 * grams) / 4 + 6000, 0);
  });

  it('says where it needs more of a block that is never bought again, and why', () => {
    const buying = { choice: 'never', why: 'it crumbled' };
    const stock = priced('EUR').map((row) => (row.name === 'Kelp' ? { ...row, buying } : row));
    const { notes } = answerTo({ shapes: ['3 ball 40 of Kelp'], stock });
    expect(notes).toContainEqual(
      expect.stringContaining('You do not buy Kelp again (it crumbled), and what you have'),
    );
    const little = answerTo({ shapes: ['1 ball 8 of Kelp'], stock });
    expect(little.notes.join(' ')).not.toContain('do not buy');
  });

  it('leaves out a shape of a recipe that cannot be resolved, and plans the others', () => {
    const { shapes, leftOut, batches } = answerTo({
      shapes: ['3 ball 8 of Frond', '2 ball 8 of Shell', '3 ball 8 of 2 Kelp + 1 White'],
      colours: [
        { name: 'Frond', recipe: [{ clay: 'Wrack', parts: 1 }] },
        { name: 'Shell', recipe: [{ clay: 'Pearl', parts: 1 }] },
        { name: 'Pearl', recipe: [{ clay: 'Shell', parts: 1 }] },
      ],
    });
    expect(shapes.map(({ colour }) => colour)).toEqual(['2 Kelp + 1 White']);
    expect(batches).toHaveLength(1);
    expect(leftOut).toMatchObject([
      { sentence: expect.stringContaining('Wrack') },
      { sentence: expect.stringContaining('made of one another: Shell, Pearl') },
    ]);
  });

  it('counts an amount by its weight, and an edition many times', () => {
    const one = answerTo({ shapes: ['amount 12 g of Kelp'], stock: priced('EUR'), spare: 0 });
    expect(one.grams).toBeCloseTo(12 / 0.875, 9);
    expect(one.batches).toEqual([]);
    const ten = answerTo({
      shapes: ['amount 12 g of Kelp'],
      stock: priced('EUR'),
      spare: 0,
      copies: 10,
    });
    expect(ten.grams).toBeCloseTo(10 * one.grams, 9);
  });

  it('says what each colour needs, and which are mixed already', () => {
    const kelp = { name: 'Weed', recipe: [{ clay: 'Kelp', parts: 1 }] };
    const asked = {
      shapes: ['2 amount 12 g of Weed', 'amount 5 g of Limpet', 'amount 12 g of Weed'],
      colours: [kelp],
      copies: 3,
      spare: 0.1,
      stock: priced('EUR'),
    };
    const { colours } = answerTo({ ...asked, mixed: ['Weed'] });
    expect(colours.map(({ colour, isMixed }) => [colour, isMixed])).toEqual([
      ['Weed', true],
      ['Limpet', false],
    ]);
    expect(colours[0]?.grams).toBeCloseTo((3 * 1.1 * 36) / 0.875, 9);
    expect(colours[1]?.grams).toBeCloseTo((3 * 1.1 * 5) / 0.875, 9);
    expect(answerTo(asked).colours.map(({ isMixed }) => isMixed)).toEqual([false, false]);
  });

  it('leaves out what cannot be planned, in plain words, and plans the rest', () => {
    const { shapes, leftOut } = answerTo({
      shapes: [
        FRONDS,
        'ball -3 of Kelp',
        '3 wing 4 of Kelp',
        'ball 8 of Kelpp',
        '0 ball 8 of Kelp',
        'ball 8',
        { count: 1, shape: 'ball 8', colour: 'Kelp', wasteShare: 2 },
      ],
      stock: priced('EUR'),
    });
    expect(shapes).toHaveLength(1);
    expect(leftOut.map(({ sentence }) => sentence)).toEqual([
      'The diameter of a ball cannot be -3. Give a number from 0.05 to 1000.',
      expect.stringContaining('is not a shape with sizes.'),
      '"Kelpp" is no clay and no colour of this figure. Did you mean Kelp?',
      'There cannot be 0 of a part. Give a whole number from 1.',
      expect.stringContaining('does not say a shape and its colour.'),
      'The lost share cannot be 2. Give a share from 0 to 0.9.',
    ]);
  });

  it('says what is not known: densities, prices, what is at hand, two currencies', () => {
    const bare = answerTo({ shapes: [FRONDS] });
    expect(bare.cost).toEqual({});
    const notes = bare.notes.join(' ');
    expect(notes).toContain('The density of Kelp, Limpet, White is not known: 1.4 g/cm3 is taken');
    expect(notes).toContain('There is no price for Kelp, Limpet, White');
    expect(notes).toContain('Nobody counted how much you have of Kelp, Limpet, White');
    const mixed = [
      ...[
        { name: 'Kelp', currency: 'EUR' },
        { name: 'Limpet', currency: 'USD' },
      ],
    ];
    const two = answerTo({ shapes: [FRONDS], stock: mixed });
    expect(two.cost.clayMinor).toBeUndefined();
    expect(two.notes.join(' ')).toContain('Prices are in EUR and USD, which cannot be added up');
    const both = priced('EUR').map((row, i) => (i === 3 ? { ...row, currency: 'USD' } : row));
    const priceless = answerTo({ shapes: [FRONDS], stock: both, hours: 2, hourlyMinor: 1000 });
    expect(priceless.cost).toEqual({ workMinor: 2000, hourlyMinor: 1000 });
    const paid = { hours: 2, hourlyMinor: 1000, hourlyCurrency: 'JPY' };
    expect(answerTo({ shapes: [FRONDS], stock: both, ...paid }).cost).toMatchObject({
      currency: 'JPY',
    });
    expect(priceless.batches).toHaveLength(1);
  });

  it('does not take the clay of a mixed batch from the stock again', () => {
    const asked = { shapes: ['ball 40 of Sea'], stock: priced('EUR') };
    const colours = [
      {
        name: 'Sea',
        recipe: [
          { clay: 'Kelp', parts: 1 },
          { clay: 'White', parts: 1 },
        ],
      },
    ];
    const before = answerTo({ ...asked, colours });
    const after = answerTo({ ...asked, colours, mixed: ['Sea'] });
    expect(before.blocks.every(({ lacksG }) => lacksG > 0)).toBe(true);
    for (const { lacksG, buy, leftG, onHandG } of after.blocks) {
      expect([lacksG, buy, leftG]).toEqual([0, 0, onHandG]);
    }
    expect(after.cost.clayMinor).toBe(before.cost.clayMinor);
  });

  it('does not add pay in one currency to clay in another', () => {
    const asked = { shapes: [FRONDS], stock: priced('EUR'), hours: 2, hourlyMinor: 1000 };
    const { cost, notes } = answerTo({ ...asked, hourlyCurrency: 'USD' });
    expect(cost.clayMinor).toBeGreaterThan(0);
    expect(cost.eachMinor).toBeUndefined();
    expect(cost.workMinor).toBeUndefined();
    expect(notes.join(' ')).toContain('Your hours are in USD and the clay in EUR');
    expect(answerTo({ ...asked, hourlyCurrency: 'EUR' }).cost.eachMinor).toBeGreaterThan(2000);
  });

  it('says how many coats hide the clay, beside the same part in clay of that colour', () => {
    const { shapes, leftOut } = answerTo({
      shapes: [
        'ball 40 of Black painted 3 Kelp + 1 White',
        'ball 40 of Black painted 96,0,2',
        { count: 2, shape: 'ball 40', colour: 'Black', paint: 'Limpet', coats: 1 },
        'ball 40 of Black painted 300,0,2',
        'ball 40 of Black painted nonsense',
        { count: 1, shape: 'ball 40', colour: 'Black', paint: 'Limpet', coats: -2 },
      ],
      stock: priced('EUR'),
    });
    const [like, white, given] = shapes.map(({ paint }) => paint);
    expect(like?.hides).toBe(true);
    expect(like?.dE00).toBeLessThanOrEqual(3.5);
    expect(like?.fewest).toBeLessThanOrEqual(like?.coats ?? 0);
    expect(like?.most).toBeGreaterThanOrEqual((like?.coats ?? 0) + (like?.undercoats ?? 0));
    expect(white?.coats).toBeGreaterThan(1);
    expect(white?.contrast).toBeLessThan(1);
    expect(given?.coats).toBe(1);
    expect(given?.areaCm2).toBeCloseTo((2 * Math.PI * 40 ** 2) / 100, 6);
    // Prices are the same for all clays here, and so are densities.
    expect(given?.instead?.minor).toBeCloseTo(given?.instead?.paintedMinor ?? Number.NaN, 6);
    expect(leftOut.map(({ sentence }) => sentence)).toEqual([
      expect.stringContaining("The aim's L is 300; it must be between 0 and 100."),
      expect.stringContaining('"nonsense" is not a colour that can be read.'),
      'There cannot be -2 coats of paint. Give a number from 1 to 20.',
    ]);
  });

  it('plans mixes of mixes, painted parts and clays without a colour', () => {
    const { batches, shapes, blocks } = answerTo({
      shapes: [
        { count: 2, shape: 'ball 50', colour: 'Weed', coats: 3, waste: 'none' },
        { name: 'Grit', count: 1, shape: 'amount 5 g', colour: 'Sand' },
      ],
      colours: [
        {
          name: 'Weed',
          recipe: [
            { clay: 'moss', parts: 3 },
            { clay: 'black', parts: 1 },
          ],
        },
        {
          name: 'Moss',
          recipe: [
            { clay: 'Kelp', parts: 1 },
            { clay: 'Limpet', parts: 1 },
          ],
        },
      ],
      stock: [...priced('EUR'), { name: 'Sand', density: 2 }],
      cutterMm: 20,
    });
    expect(batches.map(({ colour }) => colour)).toEqual(['Moss', 'Weed']);
    // 78.5 cm2, three coats of 50 um: 1.2 ml each.
    expect(shapes[0]?.paint?.ml).toBeCloseTo(2 * 1.178, 2);
    expect(blocks.map(({ clay }) => clay)).toContain('Sand');
    expect(blocks.find(({ clay }) => clay === 'Sand')?.lab).toBeUndefined();
  });

  it('refuses a figure without shapes, and mixes made of one another', () => {
    expect(() => answerTo({})).toThrow('The figure has no shapes yet.');
    expect(() =>
      answerTo({
        shapes: ['ball 8 of A'],
        colours: [
          { name: 'A', recipe: [{ clay: 'B', parts: 1 }] },
          { name: 'B', recipe: [{ clay: 'A', parts: 1 }] },
        ],
      }),
    ).toThrow('made of one another');
  });
});
