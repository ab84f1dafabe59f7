/**
 * Coats of paint that hide a clay: measured paints by their own absorption and scattering, and by their colour
 * alone, as the program knows a paint. Over mid grey, over black and over white clay.
 *
 * Run: npx tsx bench/paint.ts
 */
import { BANDS } from '../src/core/colour/grid.ts';
import { lchFromLab } from '../src/core/colour/spaces.ts';
import {
  coatsToHide,
  contrastAfter,
  FULL_HIDING,
  MOST_COATS,
  paintFrom,
  paintOfColour,
} from '../src/core/figure/paint.ts';
import { readPigments } from '../tools/pigments.ts';

const GROUNDS = { grey: 0.18, black: 0.02, white: 0.85 };
const errors: Record<string, number[]> = {};
for (const pigment of readPigments()) {
  const known = paintFrom(pigment);
  const guessed = paintOfColour(known.masstone);
  const [lightness, chroma, hue] = lchFromLab(known.masstone);
  const row = Object.entries(GROUNDS).map(([name, value]) => {
    const ground = new Float64Array(BANDS).fill(value);
    const [one, other] = [known, guessed].map((paint) => {
      const { coats, undercoats, hides } = coatsToHide(paint, ground);
      return { all: coats + undercoats, words: `${undercoats}+${coats}${hides ? '' : ' no'}` };
    });
    errors[name] = [...(errors[name] ?? []), Math.abs(one!.all - other!.all)];
    return `${name} ${one!.words} (${other!.words})`;
  });
  let full = 1;
  while (full < MOST_COATS && contrastAfter(known, full) < FULL_HIDING) full++;
  console.log(
    `${pigment.name.padEnd(28)} L ${lightness.toFixed(0)} C ${chroma.toFixed(0)} h ${hue.toFixed(0)}: ${row.join(', ')}; contrast ${FULL_HIDING} at ${full}`,
  );
}
for (const [name, all] of Object.entries(errors)) {
  const within = (n: number) => all.filter((error) => error <= n).length;
  console.log(
    `${name}: of ${all.length} paints ${within(0)} the same, ${within(1)} within 1 coat, ${within(2)} within 2`,
  );
}
