import { deltaE2000 } from '../src/core/colour/difference.ts';
import { labFromSpectrum } from '../src/core/colour/spaces.ts';
import { mean } from './random.ts';
import { type Layer, type Watercolours, WEIGHTS } from './watercolour-data.ts';
import {
  amountsOf,
  backingOf,
  brushedLayer,
  type FilmTheory,
  layerReflectance,
  type Paints,
  PLAIN,
  thicknesses,
} from './watercolour-film.ts';
import { learnEach, lnTransmittance } from './watercolour-fit.ts';

const straight = (loss: number) => ({ kind: 'straight', loss }) as const;
const surface = (outer: number, inner: number) => ({ outer, inner, glossShare: 1 });

/** Every step tried from the current theory; in each family the better step is accepted. */
const FAMILIES: readonly (readonly Partial<FilmTheory>[])[] = [
  [
    { transmitted: { kind: 'diffuse' } },
    ...[0.5, 1, 2].map((loss) => ({ transmitted: straight(loss) })),
  ],
  [
    { surface: surface(0.01, 0) },
    { surface: surface(0.01, 0.4) },
    { surface: surface(0.01, 0.6) },
    { surface: surface(0.02, 0.6) },
    { surface: surface(0.04, 0.6) },
  ],
  [0.3, 0.5, 0.8].map((unevenness) => ({ unevenness })),
  [0.002, 0.01].map((bareShare) => ({ bareShare })),
  [{ contact: 'bare' }, { contact: 'gap' }],
  [0.7, 1.5].map((wetting) => ({ wetting })),
  [0.7, 0.85].map((spreadPower) => ({ spreadPower })),
];

export interface Trial {
  readonly step: Partial<FilmTheory>;
  readonly theory: FilmTheory;
  /** Mean dE00 of layers of one paint, each fourth volume left out in turn. */
  readonly dE00: number;
  /** Root mean square residual of ln T of the same left-out layers. */
  readonly lnT: number;
  readonly kept: boolean;
}

const FOLDS = 4;
/** Least gain that justifies a less simple theory. */
const WORTH = 0.03;

/**
 * Chooses a theory by layers of one paint alone, without any mixture. It minimises dE00 plus the
 * residual of ln T, because reflectance alone cannot decide how transmittance is to be read.
 */
export function chooseTheory(data: Watercolours): { theory: FilmTheory; trials: Trial[] } {
  const first = leftOut(PLAIN, data);
  const trials: Trial[] = [{ step: {}, theory: PLAIN, ...first, kept: true }];
  let best = trials[0];
  for (const family of FAMILIES) {
    const from = best;
    for (const step of family) {
      const theory = { ...from.theory, ...step };
      const trial = { step, theory, ...leftOut(theory, data), kept: false };
      trials.push(trial);
      const bar = best === from ? WORTH : 0;
      if (trial.dE00 + trial.lnT < best.dE00 + best.lnT - bar) best = trial;
    }
    trials[trials.indexOf(best)] = best = { ...best, kept: true };
  }
  return { theory: best.theory, trials };
}

export function errorOf(
  theory: FilmTheory,
  paints: Paints,
  layer: Layer,
  paper: Float64Array,
): number {
  const predicted = layerReflectance(theory, paints, layer.parts, paper);
  return deltaE2000(labFromSpectrum(predicted, WEIGHTS), layer.lab);
}

function leftOut(theory: FilmTheory, { primaries, paper }: Watercolours) {
  const errors: number[] = [];
  const residuals: number[] = [];
  const backing = backingOf(theory, paper);
  const spread = thicknesses(theory);
  // A theory fitted to reflectance alone still predicts a transmittance: by the diffuse formula.
  const seen: FilmTheory =
    theory.transmitted.kind === 'none' ? { ...theory, transmitted: { kind: 'diffuse' } } : theory;
  for (let fold = 0; fold < FOLDS; fold++) {
    const out = (i: number) => (i % 11) % FOLDS === fold;
    const paints = learnEach(
      theory,
      primaries.filter((_, i) => !out(i)),
      paper,
    );
    for (const layer of primaries.filter((_, i) => out(i))) {
      errors.push(errorOf(theory, paints, layer, paper));
      const [amount] = amountsOf(theory, layer.parts);
      const { absorption, scattering } = paints.get(layer.parts[0].paint)!;
      layer.transmittance!.forEach((t, b) => {
        const { transmittance } = brushedLayer(
          seen,
          spread,
          amount * absorption[b],
          amount * scattering[b],
          backing[b],
          paper[b],
        );
        residuals.push((lnTransmittance(t) - lnTransmittance(transmittance)) ** 2);
      });
    }
  }
  return { dE00: mean(errors), lnT: Math.sqrt(mean(residuals)) };
}
