import { describe, expect, it } from 'vitest';
import { RICH, randomFrom, tile } from '../../../../test/conformance/virtual-studio.ts';
import { colourWeights } from '../../colour/weights.ts';
import { modelFromFit } from '../clay-model.ts';
import { fitClays } from '../fit.ts';
import { leftOutTiles } from '../left-out.ts';
import { openModel, predictMix } from '../predict.ts';
import { shippedPrior } from '../shipped-prior.ts';
import type { TileReading } from '../tile-reading.ts';
import { explainTiles } from './explain.ts';
import { type Fault, withoutFault } from './fault.ts';
import { settle } from './settle.ts';

const PRIOR = shippedPrior();

function clean(): TileReading[] {
  const random = randomFrom(15);
  return RICH.map((mix, i) => tile(mix, { noise: 0.4, random, name: `t${i}` }));
}

function explained(readings: readonly TileReading[]) {
  const fit = fitClays(readings, PRIOR);
  const leftOut = leftOutTiles(fit);
  const run = explainTiles(readings, fit, leftOut);
  let steps = 1;
  while (!run.step()) steps++;
  const explanations = run.explanations();
  return { explanations, steps, settled: settle(fit, leftOut, explanations) };
}

/** The row of RICH with these parts, by the names of its paints. */
const ROW = (words: string) =>
  RICH.findIndex((mix) => mix.map(([p, n]) => `${n} ${p.name}`).join(' + ') === words);
const RED_TINT = ROW('1 Pyrrole Red + 3 Titanium White');
const BLUE_TINT = ROW('1 Cobalt Blue + 15 Titanium White');

/** Every fault here undoes itself when made twice. */
const MADE: readonly Fault[] = [
  { kind: 'swapped', rows: [RED_TINT, BLUE_TINT] },
  { kind: 'a and b exchanged', rows: [RED_TINT] },
  { kind: 'sign lost', rows: [BLUE_TINT], axis: 'b' },
  // Two plain tiles: all tiles of both clays miss a little, and the fit follows both.
  { kind: 'swapped', rows: [ROW('1 Titanium White'), ROW('1 Cobalt Blue')] },
];

describe('a wrong tile', () => {
  it.each(MADE)('is named rightly: $kind', (fault) => {
    const { explanations, settled } = explained(withoutFault(clean(), fault));
    expect(explanations[0].faults).toEqual([fault]);
    expect(explanations[0].probability).toBeGreaterThan(0.9);
    expect(settled.explanations[0].isWhole).toBe(true);
  });

  it('is a recipe the wrong way round, and the right recipe is given', () => {
    const readings = clean();
    const [red, white] = readings[RED_TINT].parts;
    readings[RED_TINT] = {
      ...readings[RED_TINT],
      parts: [
        { ...red, share: white.share },
        { ...white, share: red.share },
      ],
    };
    const [{ faults }] = explained(readings).explanations;
    expect(faults).toEqual([
      {
        kind: 'reversed',
        rows: [RED_TINT],
        parts: [
          { clay: red.clay, parts: 1 },
          { clay: white.clay, parts: 3 },
        ],
      },
    ]);
  });

  it('is not named once somebody found the tiles right', () => {
    const readings = withoutFault(clean(), MADE[0]).map((reading) => ({
      ...reading,
      checked: true,
    }));
    const { explanations, settled } = explained(readings);
    expect(explanations.map(({ faults }) => faults)).toEqual([[]]);
    expect(settled.explanations).toEqual([]);
  });

  it('is looked for only where a tile misses far', () => {
    const { explanations, steps } = explained(clean());
    expect(explanations.map(({ faults }) => faults)).toEqual([[]]);
    expect(steps).toBe(1);
  });
});

describe('two readings of one tile that are far apart', () => {
  it('are not averaged: each may be wrong, or the others say which one', () => {
    const readings = clean();
    const own = readings[RED_TINT];
    const { colour } = own;
    if (colour.kind !== 'lab') throw new Error('the studio has Lab readings');
    const [l, a, b] = colour.lab;
    const { explanations } = explained([
      ...readings,
      { ...own, colour: { ...colour, lab: [l, a - 30, b] } },
    ]);
    expect(explanations[0].faults).toEqual([{ kind: 'reading', rows: [readings.length] }]);
  });
});

describe('predictions while explanations are open', () => {
  it('have the colour of the likeliest, and a covariance that holds how far the others are', () => {
    const fit = fitClays(clean(), PRIOR);
    const model = modelFromFit(fit);
    // Another explanation in which amounts count otherwise, so that the colours are apart.
    const physics = { ...model.physics, shareExponent: model.physics.shareExponent + 0.3 };
    const options = { weights: colourWeights('D50', 2), partsSpread: 0 };
    const mix = ['Pyrrole Red', 'Titanium White'].map((name, i) => ({
      clay: fit.set.clays.indexOf(name),
      share: i === 0 ? 0.25 : 0.75,
    }));
    const probability = 0.3;
    const { clays, combinations } = model;
    const alternatives = [{ probability, clays, combinations, physics }];
    const alone = predictMix(openModel(model), mix, options);
    const other = predictMix(openModel({ ...model, physics }), mix, options);
    const mixed = predictMix(openModel({ ...model, alternatives }), mix, options);
    expect(mixed.lab).toEqual(alone.lab);
    const apart = other.lab.map((v, i) => v - alone.lab[i]);
    expect(Math.hypot(...apart)).toBeGreaterThan(1);
    for (let i = 0; i < 3; i++) {
      for (let k = 0; k < 3; k++) {
        const at = i * 3 + k;
        const more = probability * apart[i] * apart[k];
        expect(mixed.covariance[at]).toBeCloseTo(alone.covariance[at] + more, 8);
      }
    }
  });
});
