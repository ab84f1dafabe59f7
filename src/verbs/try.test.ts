import { expect, it } from 'vitest';
import { randomFrom } from '../../bench/random.ts';
import { UNSTOPPED } from '../../test/conformance/demo-clay.ts';
import { roughPredictor } from '../core/clay/rough-model.ts';
import { knownClays } from '../core/find/known-clays.ts';
import { predictViewed } from '../core/find/predicted-mix.ts';
import { tryBalls } from './try.ts';
import { asked } from './verb.ts';

const D50 = { light: 'D50', observer: 2 } as const;
const HINTS = {
  all: 'the clays',
  names: '',
  line: '',
  perhapsLine: '',
  stock: '',
  grams: '',
  density: '',
};

/** A drawer of clays, known from their blocks alone: a white, a black and colours all around. */
function drawer(count: number) {
  const { uniform: random } = randomFrom(5);
  const labs = Array.from({ length: count }, (_, i) => {
    if (i === 0) return [95, 0, 2] as const;
    if (i === 1) return [26, 0, 0] as const;
    const hue = (2 * Math.PI * i) / count;
    const chroma = 15 + 35 * random();
    return [40 + 40 * random(), chroma * Math.cos(hue), chroma * Math.sin(hue)] as const;
  });
  const names = labs.map((_, i) => `Clay ${i}`);
  const predictor = roughPredictor(
    labs.map((lab, i) => ({
      tile: names[i],
      parts: [{ clay: names[i], share: 1 }],
      colour: { kind: 'lab', lab, light: 'D50', observer: 2 },
      spread: 1,
      geometry: 'excluded',
      partsSpread: 0,
    })),
  );
  return knownClays(
    predictor,
    predictor.model.clays.map(({ name }) => name),
    'volume',
    HINTS,
  );
}

it('chooses a useful subset of the clays of a large book, and says which', async () => {
  const clays = drawer(60);
  const mix = [
    { clay: clays.names.indexOf('Clay 7'), share: 3 / 4 },
    { clay: clays.names.indexOf('Clay 0'), share: 1 / 4 },
  ];
  const { lab } = predictViewed(clays.predictor, mix, D50);
  const trials = [{ balls: [[{ clay: 'Clay 40', parts: 1 }]] }];
  const question = { aim: lab, aimSpread: 0.5, trials };
  const { answer } = await asked(tryBalls.ask(clays, question), UNSTOPPED);
  const { chosen = [], best } = answer;
  expect(chosen.length).toBeGreaterThan(4);
  expect(chosen.length).toBeLessThan(60);
  // The clay rolled already, the white, the black and the clay that the aim is mostly made of.
  expect(chosen).toEqual(expect.arrayContaining(['Clay 40', 'Clay 0', 'Clay 1', 'Clay 7']));
  for (const { clay } of best.parts) expect(chosen).toContain(clay);
  expect(best.expected).toBeLessThan(10);
  const few = await asked(tryBalls.ask(clays, { ...question, only: chosen }), UNSTOPPED);
  expect(few.answer).not.toHaveProperty('chosen');
  expect(few.answer.best).toEqual(best);
});
