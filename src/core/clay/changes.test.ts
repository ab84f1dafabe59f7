import { describe, expect, it } from 'vitest';
import { family, virtualTile } from '../../../bench/left-out-paints.ts';
import { randomFrom } from '../../../bench/random.ts';
import { type Mix, PAINTS, STUDIO, tile } from '../../../test/conformance/virtual-studio.ts';
import { readPigments } from '../../../tools/pigments.ts';
import { everydayMixes, type ModelChanges, type MovedMix, modelChanges } from './changes.ts';
import { modelFromFit } from './clay-model.ts';
import { fitClays } from './fit.ts';
import { classOfPigment, priorFromPigments } from './prior-from-pigments.ts';
import { learnReport } from './report.ts';
import { shippedPrior } from './shipped-prior.ts';
import type { TileReading } from './tile-reading.ts';

const { white, black, red, yellow } = PAINTS;

/** What adding `more` to `first` changed, and which tiles of the whole disagree with the others. */
function learnMore(first: readonly TileReading[], more: readonly TileReading[]) {
  const prior = shippedPrior();
  const fit = fitClays([...first, ...more], prior);
  const after = modelFromFit(fit);
  const changes = modelChanges(modelFromFit(fitClays(first, prior)), after, everydayMixes(after));
  return { changes, outlying: learnReport(fit).outlying.map(({ tile }) => tile) };
}
const namesOf = ({ surprising }: ModelChanges) =>
  surprising.map(({ mix }) => mix.map(({ clay, share }) => `${4 * share} ${clay}`).join(' + '));
const read = (mixes: readonly Mix[], seed: number, options = {}) => {
  const random = randomFrom(seed);
  return mixes.map((mix) => tile(mix, { noise: 0.5, random, ...options }));
};

/**
 * Studios of four measured paints (Okumura 2005; Berns 2016, see data/pigments) which the prior has
 * never seen, read with 0.5 units of noise an axis; then two more tiles of each paint are learned.
 */
function movesOfHonestUpdates(studios: number): MovedMix[] {
  const all = readPigments();
  const files = [...new Set(all.map((paint) => paint.file))];
  return Array.from({ length: studios }, (_, studio) => {
    const random = randomFrom(500 + studio);
    const pool = all.filter((paint) => paint.file === files[studio % files.length]);
    const take = (at: number) => pool.splice(at, 1)[0];
    const whitest = take(pool.findIndex(({ name }) => name === 'Titanium White'));
    const blackest = take(
      pool.findIndex((p) => classOfPigment(p) === 'black' && /black/i.test(p.name)),
    );
    const own = Array.from({ length: 4 }, () => take(random.whole(0, pool.length - 1)));
    const left = new Set(own.map(({ name }) => family(name)));
    const prior = priorFromPigments(all.filter(({ name }) => !left.has(family(name))));
    const bake = (...parts: [(typeof own)[number], number][]) => virtualTile(parts, random);
    const first = [
      bake([whitest, 1]),
      bake([blackest, 1]),
      bake([blackest, 1], [whitest, 15]),
      ...own.flatMap((p) => [bake([p, 1]), bake([p, 1], [whitest, 3])]),
    ];
    const more = own.flatMap((p, i) => [
      bake([p, 1], [whitest, 9]),
      bake([p, 2], [own[(i + 1) % own.length], 1]),
    ]);
    const before = modelFromFit(fitClays(first, prior));
    const after = modelFromFit(fitClays([...first, ...more], prior));
    const mixes = [...everydayMixes(after), ...more.map(({ parts }) => parts)];
    return modelChanges(before, after, mixes).moved;
  }).flat();
}

describe('further tiles without mistakes', () => {
  it('surprise about one time in a hundred, and move by as much as the older ± allowed', () => {
    const moves = movesOfHonestUpdates(16);
    expect(moves).toHaveLength(16 * (11 + 8));
    const square = moves.reduce((sum, { surprise }) => sum + surprise ** 2, 0) / moves.length;
    // Mean of a chi-squared variable of three degrees: 3, less where a tile tells nothing new. With
    // 60 studios 2.1; half of it would be a ± twice as wide in variance as the truth.
    expect(square).toBeGreaterThan(1.5);
    expect(square).toBeLessThan(3.2);
    const far = moves.filter(({ surprise, dE00 }) => surprise > Math.sqrt(11.345) && dE00 > 0.8);
    // Mixes of one studio move together: 0.4 % of 60 studios, 1.7 % where only masstones were known.
    expect(far.length / moves.length).toBeLessThan(0.02);
  });
});

describe('a tile with a wrong recipe', () => {
  const slip = (mix: Mix, believed: Mix) => read([mix], 9, { believed, name: 'slip' });

  it('is named and moves nothing where many tiles disagree with it', () => {
    const { changes, outlying } = learnMore(
      read(STUDIO, 1),
      slip(
        [
          [yellow, 1],
          [white, 1],
        ],
        [
          [red, 1],
          [white, 1],
        ],
      ),
    );
    expect(outlying).toEqual(['slip']);
    expect(namesOf(changes)).toEqual([]);
  });

  it('is surprising where one tile disagrees with another, and both mixes are named', () => {
    const knowsRedAloneOnly = STUDIO.filter(
      (mix) => mix.length === 1 || !mix.some(([paint]) => paint === red),
    );
    const mixes: [Mix, Mix] = [
      [
        [yellow, 1],
        [white, 3],
      ],
      [
        [red, 1],
        [white, 3],
      ],
    ];
    const first = read(knowsRedAloneOnly, 1);
    const { changes, outlying } = learnMore(first, slip(...mixes));
    expect(namesOf(changes).toSorted()).toEqual([
      '1 Pyrrole Red + 3 Titanium White',
      '4 Pyrrole Red',
    ]);
    expect(outlying.length).toBeGreaterThan(0);
    // The same tile with its true recipe is no surprise at all.
    expect(namesOf(learnMore(first, slip(mixes[1], mixes[1])).changes)).toEqual([]);
  });

  it('measured under another lamp with its whole tray, is surprising in every part of the studio', () => {
    const again = read(STUDIO, 2, { shift: [0, 0, 6] });
    const { changes } = learnMore(read(STUDIO, 1), again);
    expect(namesOf(changes)).toContain('4 Titanium White');
    expect(changes.surprising.length).toBeGreaterThan(3);
    const [most] = changes.moved;
    expect(most.surprise).toBe(Math.max(...changes.moved.map(({ surprise }) => surprise)));
  });
});

describe('two models', () => {
  const small = read(
    STUDIO.filter((mix) => mix.every(([paint]) => paint === white || paint === black)),
    1,
  );

  it('that are the same have moved nowhere', () => {
    const { changes } = learnMore(small, []);
    expect(changes.moved).toHaveLength(3);
    for (const { surprise, dE00 } of changes.moved) expect([surprise, dE00]).toEqual([0, 0]);
  });

  it('say which clays came and went, and compare what both hold', () => {
    const model = (readings: readonly TileReading[]) =>
      modelFromFit(fitClays(readings, shippedPrior()));
    const [one, other] = [model(small), model([...small, ...read([[[red, 1]]], 3)])];
    const forth = modelChanges(one, other, everydayMixes(other));
    expect([forth.added, forth.gone]).toEqual([['Pyrrole Red'], []]);
    expect(forth.moved).toHaveLength(3);
    const back = modelChanges(other, one, everydayMixes(other));
    expect([back.added, back.gone]).toEqual([[], ['Pyrrole Red']]);
    expect(back.moved).toHaveLength(3);
  });

  it('predict with the same gloss, or every dark clay would seem to have moved', () => {
    const one = modelFromFit(fitClays(small, shippedPrior()));
    const asExcluded = { ...one, geometry: 'excluded' as const };
    for (const { dE00 } of modelChanges(one, asExcluded, everydayMixes(one)).moved) {
      expect(dE00).toBe(0);
    }
  });
});
