import { describe, expect, it } from 'vitest';
import { acceptTilesSteps } from '../../domain/changes/accept-tiles.ts';
import type { PhotoResult, TileResult } from '../../domain/photo-result.ts';
import type { BookStep } from '../../domain/records/change.ts';
import { BOOK_BODIES, type BookKind, type RecordOf } from '../../domain/records/record.ts';
import type { Target } from './match-code.ts';
import { photoRows } from './photo-rows.ts';
import type { PhotoHere, PhotoSession } from './photo-session-store.ts';
import { bakingInWords, driftInWords, type KnownRow, uncertaintyInWords } from './photo-words.ts';
import { type ImportedRow, readTilesOf } from './read-tiles.ts';

/** Two tiles of one photo, a little apart, that err by 0.3 alone and by `shared` together. */
function resultOf(rough: boolean, shared = 2): PhotoResult {
  const tile = (name: string, l: number): TileResult => ({
    name,
    centre: [100, 100],
    outline: [
      [80, 80],
      [120, 80],
      [120, 130],
      [80, 130],
    ],
    lab: [l, 10, 10],
    cov: [0, 1, 2].map((r) => [0, 1, 2].map((s) => (r === s ? 0.09 + shared ** 2 : 0))),
    spread: 0.3,
    quality: 'good',
    marks: [],
  });
  const at = (i: number, j: number) => (i % 3 === j % 3 ? shared ** 2 + (i === j ? 0.09 : 0) : 0);
  return {
    file: 'tray.jpg',
    kind: 'JPEG',
    bits: 8,
    widthPx: 400,
    heightPx: 200,
    turned: false,
    profile: 'none',
    profileFollowed: false,
    sheet: null,
    chart: null,
    rough: rough ? { balanced: 'as the camera did' } : null,
    tiles: [tile('1', 50), tile('2', 46)],
    sharedCov: [0, 1, 2, 3, 4, 5].map((i) => [0, 1, 2, 3, 4, 5].map((j) => at(i, j))),
    tells: { colours: 2.1, differences: 0.4 },
    emptyPlaces: [],
    notes: [],
    readMs: 1,
  };
}

const photo: PhotoHere = {
  draftId: 'd1',
  fileName: 'tray.jpg',
  widthPx: 400,
  heightPx: 200,
  tray: 1,
  sheet: 'any',
  taps: [],
  controls: [],
} satisfies PhotoSession['photos'][number];

const rowsOf = (rough: boolean) =>
  photoRows([
    { photo, job: undefined, running: false, no: undefined, photoResult: resultOf(rough) },
  ]);

const newTile: Target = {
  is: 'new tile',
  of: { kind: 'mix', id: 'moss' },
  basis: 'weight',
  code: 'K7',
  title: 'Sea moss',
};

function stepsOf(taken: readonly Omit<ImportedRow, 'row'>[], rough = false) {
  let made = 0;
  const rows = rowsOf(rough);
  return acceptTilesSteps({
    rows: readTilesOf(
      taken.map((one, i) => ({ ...one, row: rows[i] })),
      new Map([['d1', 'photo-1']]),
      '2026-01-01T00:00:00.000Z',
    ),
    line: '',
    lines: [],
    newId: (kind) => `${kind}-${++made}`,
  });
}

/** What the book itself asks of a body. */
const fits = (step: BookStep) =>
  step.do !== 'put' || BOOK_BODIES[step.kind as BookKind].safeParse(step.body).success;
const kinds = (steps: readonly BookStep[]) =>
  steps.map((one) => (one.do === 'put' ? one.kind : one.do));

describe('what photos leave in the book', () => {
  it('is one tile for its raw and its baked reading, both of the photo', () => {
    const steps = stepsOf([
      { state: 'raw', target: newTile },
      { state: 'baked', target: newTile },
    ]);
    expect(kinds(steps)).toEqual(['tile', 'reading', 'reading']);
    expect(steps.every(fits)).toBe(true);
    expect(steps[0]).toMatchObject({ body: { code: 'K7', basis: 'weight', state: 'baked' } });
    expect(steps.slice(1)).toMatchObject([
      {
        body: {
          of: { id: 'tile-1' },
          readingKind: 'measured',
          state: 'raw',
          photoId: 'photo-1',
          spread: 0.3,
        },
      },
      { body: { of: { id: 'tile-1' }, readingKind: 'measured', state: 'baked' } },
    ]);
    // The outline's box, by hand: 80 to 120 of 400 across, 80 to 130 of 200 down.
    const { region } = (steps[1] as unknown as { body: RecordOf<'reading'>['body'] }).body;
    for (const [side, share] of [
      ['left', 0.2],
      ['top', 0.4],
      ['width', 0.1],
      ['height', 0.25],
    ] as const) {
      expect(region![side]).toBeCloseTo(share, 9);
    }
  });

  it('makes a block and its line where the book has none, and keeps rough colours wide', () => {
    const target: Target = { is: 'new block', title: 'Limpet', saidHere: true };
    const steps = stepsOf([{ state: 'baked', target }], true);
    expect(kinds(steps)).toEqual(['line', 'block', 'tile', 'reading']);
    expect(steps.every(fits)).toBe(true);
    expect(steps[3]).toMatchObject({ body: { readingKind: 'rough', spread: 3 } });
  });

  it('is a new clay before what is mixed of it, whichever lies first', () => {
    const [kelp, limpet] = [
      { kind: 'block', id: 'kelp' },
      { kind: 'new block', name: 'limpet' },
    ] as const;
    const mix: Target = {
      is: 'parts',
      title: 'N1',
      code: 'N1',
      parts: [
        { of: kelp, parts: 5 },
        { of: limpet, parts: 2 },
      ],
    };
    const plain: Target = { is: 'new block', title: 'Limpet', saidHere: true };
    const steps = stepsOf([
      { state: 'baked', target: mix },
      { state: 'baked', target: plain },
    ]);
    expect(kinds(steps)).toEqual(['line', 'block', 'tile', 'reading', 'tile', 'reading']);
    expect(steps.every(fits)).toBe(true);
    const { id } = steps[1] as { id: string };
    expect(steps[2]).toMatchObject({
      body: { code: 'N1', of: { parts: [{ of: kelp }, { of: { kind: 'block', id }, parts: 2 }] } },
    });
    expect(steps[4]).toMatchObject({ body: { name: 'Limpet', of: { kind: 'block', id } } });
  });

  it('is one clay and one tile of what is new and lies raw and baked, and two tiles of two baked', () => {
    const plain: Target = { is: 'new block', title: 'Limpet', saidHere: true };
    const again: Target = { is: 'new block', title: 'limpet', saidHere: false };
    const kindsOf = (state: 'raw' | 'baked') =>
      kinds(
        stepsOf([
          { state, target: plain },
          { state: 'baked', target: again },
        ]),
      );
    expect(kindsOf('raw')).toEqual(['line', 'block', 'tile', 'reading', 'reading']);
    expect(kindsOf('baked')).toEqual(['line', 'block', 'tile', 'reading', 'tile', 'reading']);
  });

  it('bakes a tile that the book had raw', () => {
    const tile: RecordOf<'tile'> = {
      kind: 'tile',
      id: 't1',
      version: 4,
      createdAt: '2026-01-01T00:00:00.000Z',
      changedAt: '2026-01-01T00:00:00.000Z',
      body: { of: { kind: 'mix', id: 'moss' }, basis: 'weight', state: 'raw', bakes: [] },
    };
    const steps = stepsOf([{ state: 'baked', target: { is: 'tile', tile, title: 'K7' } }]);
    expect(steps[0]).toMatchObject({ id: 't1', version: 4, body: { state: 'baked' } });
    expect(steps[1]).toMatchObject({ body: { of: { kind: 'tile', id: 't1' } } });
  });
});

const readingOf = (lab: [number, number, number]): RecordOf<'reading'> => ({
  kind: 'reading',
  id: 'r',
  version: 1,
  createdAt: '2026-01-01T00:00:00.000Z',
  changedAt: '2026-01-01T00:00:00.000Z',
  body: {
    of: { kind: 'tile', id: 't' },
    readingKind: 'measured',
    state: 'baked',
    lab: { values: lab, light: 'D50', observer: 2 },
    spread: 0.3,
    geometry: 'excluded',
  },
});

describe('what is said of a photo', () => {
  const known = (rough: boolean, states: readonly ('raw' | 'baked')[]): KnownRow[] =>
    rowsOf(rough).map((row, i) => ({ row, state: states[i], target: newTile, earlier: [] }));

  it('is how sure its colours are, and its differences where those are surer', () => {
    expect(uncertaintyInWords(resultOf(false))).toBe(
      'Colours from this photo are certain to about 2.1 dE00; differences between similar tiles to about 0.4 (up to 1.8 is a match).',
    );
    expect(uncertaintyInWords(resultOf(true))).toMatch(
      /^No chart found in this photo, so its colours are rough/,
    );
  });

  it('is what baking did, surer than the colours are, as both err alike', () => {
    const [sentence] = bakingInWords(known(false, ['raw', 'baked']));
    // Four steps darker with 0.3 of its own: seen, though each colour is only known to 2.
    expect(sentence).toMatch(/^Sea moss: .*darker/);
    expect(bakingInWords(known(false, ['baked', 'baked']))).toEqual([]);
  });

  it('is whether control tiles drift, and that two which move alike blame the light', () => {
    const [one, two] = known(false, ['baked', 'baked']);
    const same = driftInWords([{ ...one, earlier: [readingOf([50, 10, 10])] }]);
    expect(same.sentences).toEqual(['Sea moss measures the same as before (within 0.0).']);
    const both = driftInWords([
      { ...one, earlier: [readingOf([62, 10, 10])] },
      { ...two, earlier: [readingOf([58, 10, 10])] },
    ]);
    expect(both.sentences).toHaveLength(3);
    expect(both.sentences[2]).toContain('the light or the chart');
    expect(driftInWords(known(true, ['baked', 'baked'])).sentences).toEqual([]);
  });

  it('is, without a chart, whether two known tiles differ as they did, however far off both are', () => {
    const [one, two] = known(true, ['baked', 'baked']);
    const saidOf = (first: number, second: number) =>
      driftInWords([
        { ...one, earlier: [readingOf([first, 10, 10])] },
        { ...two, earlier: [readingOf([second, 10, 10])] },
      ]).sentences;
    // The photo has them four steps apart.
    expect(saidOf(70, 66)).toEqual(['Sea moss and Sea moss differ as before (within 0.0).']);
    expect(saidOf(70, 60)).toEqual([
      expect.stringMatching(/^The difference between Sea moss and Sea moss changed by \d\.\d/),
    ]);
  });
});
