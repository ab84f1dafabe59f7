/**
 * Writes src/core/clay/prior.data.ts: the prior of the product, from the paints of data/pigments.
 * Run: npx tsx tools/make-prior.ts
 */
import { createHash } from 'node:crypto';
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Families } from '../src/core/clay/families.ts';
import type { LatentBasis, Prior } from '../src/core/clay/prior.ts';
import { priorFromPigments } from '../src/core/clay/prior-from-pigments.ts';
import { readPigments } from './pigments.ts';

/** Six digits: the paints were measured to three. */
const numbers = (values: Float64Array) => Array.from(values, (v) => Number(v.toPrecision(6)));
const basis = ({ shapes, residual }: LatentBasis) => ({
  shapes: shapes.map(numbers),
  residual: numbers(residual),
});
const families = ({ centres, spread, broadShare }: Families) => ({
  centres: centres.map(numbers),
  spread,
  broadShare,
});

export function priorText(prior: Prior): string {
  const content = {
    absorption: basis(prior.absorption),
    scattering: basis(prior.scattering),
    means: Object.fromEntries(
      Object.entries(prior.means).map(([name, mean]) => [
        name,
        {
          lnAbsorption: numbers(mean.lnAbsorption),
          lnScattering: numbers(mean.lnScattering),
          strengthSpread: mean.strengthSpread,
          ...(mean.families === undefined ? {} : { families: families(mean.families) }),
        },
      ]),
    ),
  };
  const json = JSON.stringify(content);
  const hash = createHash('sha256').update(json).digest('hex');
  return [
    '// Written by tools/make-prior.ts from data/pigments; do not edit.',
    `export const PRIOR_HASH = '${hash}';`,
    `export const PRIOR_DATA = ${json.replaceAll('],', '],\n')};`,
    '',
  ].join('\n');
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const target = new URL('../src/core/clay/prior.data.ts', import.meta.url);
  writeFileSync(target, priorText(priorFromPigments(readPigments())));
}
