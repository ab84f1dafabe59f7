import { describe, expect, it } from 'vitest';
import {
  D50,
  type Mix,
  type Paint,
  paint,
  randomFrom,
  tile,
  trueLab,
} from '../../../test/conformance/virtual-studio.ts';
import { sharesOfParts } from '../clay/mixture.ts';
import { openModel, predictMix } from '../clay/predict.ts';
import { roughPredictor } from '../clay/rough-model.ts';
import { deltaE2000 } from '../colour/difference.ts';
import { BANDS } from '../colour/grid.ts';
import { type JoinedShared, joinFramed, joinShared } from './join-shared.ts';
import { sharedClays } from './shared-clays.ts';
import { sharedInFrame } from './shared-in-frame.ts';

const white = paint('Titanium White');
/** A white that scatters less, and less evenly: what another book counts by. */
const theirWhite: Paint = {
  name: 'Their white',
  absorption: white.absorption,
  scattering: white.scattering.map((s, band) => s * (0.6 + band / 180)),
};
const [ours, theirs, both] = [
  ['Cobalt Blue', 'Hansa Yellow Opaque'],
  ['Pyrrole Red', 'Phthalo Green Blue Shade'],
  ['Cadmium Orange'],
];

function studio(names: readonly string[], own: Paint, seed: number) {
  const options = { noise: 0.2, random: randomFrom(seed) };
  const mixes: Mix[] = [
    [[own, 1]],
    ...names.map(paint).flatMap((one): Mix[] => [
      [[one, 1]],
      [
        [one, 1],
        [own, 3],
      ],
      [
        [one, 1],
        [own, 12],
      ],
    ]),
  ];
  return roughPredictor(mixes.map((mix) => tile(mix, options)));
}

describe('clays of two books in one model', () => {
  const mine = studio([...ours, ...both], white, 1);
  const other = studio([...theirs, ...both], theirWhite, 2);
  const shared = sharedClays(
    other,
    other.model.clays.map((_, i) => i),
  );
  const at = ({ model }: typeof mine, name: string) =>
    model.clays.findIndex((clay) => clay.name === name);
  const anchor = { own: at(mine, both[0]), theirs: at(other, both[0]) };

  function missed({ model, placeOf }: JoinedShared): number {
    const errors = ours.flatMap((one) =>
      theirs.map((name) => {
        const parts = [
          { clay: at(mine, one), parts: 2 },
          { clay: placeOf[at(other, name)], parts: 1 },
          { clay: at(mine, white.name), parts: 3 },
        ];
        const { lab } = predictMix(openModel(model), sharesOfParts(parts), {
          weights: D50,
          partsSpread: 0,
        });
        return deltaE2000(
          lab,
          trueLab([
            [paint(one), 2],
            [paint(name), 1],
            [white, 3],
          ]),
        );
      }),
    );
    return errors.reduce((sum, v) => sum + v, 0) / errors.length;
  }

  it('mix as they truly do once a clay is in both, and not without', () => {
    const tied = missed(joinShared(mine.model, shared, [anchor]));
    expect(tied).toBeLessThan(1);
    // As the other book counts, by its own white.
    const framed = sharedInFrame(shared, mine.model.prior, new Float64Array(BANDS));
    expect(missed(joinFramed(mine.model, framed, [anchor]))).toBeGreaterThan(2 * tied);
  });

  it('leave what the own model predicts as it is', () => {
    const { model } = joinShared(mine.model, shared, [anchor]);
    const parts = sharesOfParts([
      { clay: 1, parts: 2 },
      { clay: 0, parts: 5 },
    ]);
    const options = { weights: D50, partsSpread: 0.03 };
    const [own, joined] = [mine, openModel(model)].map((one) => predictMix(one, parts, options));
    expect(joined.lab).toEqual(own.lab);
    for (const [i, v] of joined.covariance.entries()) expect(v).toBeCloseTo(own.covariance[i], 10);
  });
});
