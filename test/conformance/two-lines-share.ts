/**
 * A share file of an author whose clays are of two invented lines: the recipes are of the one, and a follower
 * owns blocks of the other.
 */
import { stockTiles } from '../../bench/speed.ts';
import { sharesOfParts } from '../../src/core/clay/mixture.ts';
import { roughPredictor } from '../../src/core/clay/rough-model.ts';
import type { Lab } from '../../src/core/colour/triples.ts';
import { lightPredictor } from '../../src/core/share/light-predictor.ts';
import { sharedClays } from '../../src/core/share/shared-clays.ts';
import { plusMinusOf } from '../../src/core/verdict/verdict.ts';
import { sealed } from '../../src/domain/share/share-codec.ts';
import { claysOfCurves, curvesOfClays } from '../../src/domain/share/share-curves.ts';
import type { ShareFile } from '../../src/domain/share/share-file.ts';
import { randomFrom } from './virtual-studio.ts';

/** Clays of both lines in turn, and mixes of the first line. */
const CLAYS = 40;
const MIXES = 60;

export function twoLinesShare(): ShareFile {
  const predictor = roughPredictor(stockTiles(CLAYS, 5 * CLAYS));
  const all = predictor.model.clays.map((_, i) => i);
  const curves = curvesOfClays(sharedClays(predictor, all), all);
  const names = all.map((i) => `Clay ${i + 1}`);
  const light = lightPredictor(claysOfCurves(curves, names));
  const rounded = (lab: Lab): Lab => lab.map((v) => Math.round(v * 100) / 100) as unknown as Lab;
  const coloured = (clay: number) => rounded(light.predict([{ clay, share: 1 }]).lab);
  const random = randomFrom(5);
  return sealed({
    format: 'kneadwell-share',
    version: 1,
    madeWith: 'test',
    title: 'Rock pool colours',
    author: 'Ines Limpet',
    licence: 'personal',
    lines: [{ name: 'Saltmarsh' }, { name: 'Lantern' }],
    clays: names.map((name, i) => ({ name, line: i % 2, clayType: 'opaque', lab: coloured(i) })),
    curves,
    mixes: Array.from({ length: MIXES }, (_, n) => {
      const parts = [0, 2 + 2 * random.whole(0, 8), 20 + 2 * random.whole(0, 9)].map((clay) => ({
        clay,
        parts: random.whole(1, 6),
      }));
      const { lab, covariance } = light.predict(sharesOfParts(parts));
      return {
        code: `R${n + 1}`,
        name: `Rock pool ${n + 1}`,
        basis: 'volume' as const,
        parts,
        colour: {
          lab: rounded(lab),
          from: 'predicted' as const,
          plusMinus: Math.round(plusMinusOf(lab, covariance) * 100) / 100,
          gloss: 0.5,
        },
        look: 'flat' as const,
      };
    }),
    palettes: [],
  });
}
