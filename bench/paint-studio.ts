import { classOfPigment, priorFromPigments } from '../src/core/clay/prior-from-pigments.ts';
import { readPigments } from '../tools/pigments.ts';
import { family } from './left-out-paints.ts';
import type { Random } from './random.ts';

/** White and black of one collection of measured paints, and all its others. */
export function paintCollection(index: number) {
  const all = readPigments();
  const files = [...new Set(all.map((p) => p.file))];
  const set = all.filter((p) => p.file === files[index % files.length]);
  const white = set.find((p) => p.name === 'Titanium White')!;
  const black = set.find((p) => classOfPigment(p) === 'black' && /black/i.test(p.name))!;
  return { all, white, black, pool: set.filter((p) => p !== white && p !== black) };
}

/** White, black and some paints drawn from a collection; these, and paints of their names, are not in the prior. */
export function paintStudio(index: number, count: number, random: Random) {
  const { all, white, black, pool } = paintCollection(index);
  const others = Array.from(
    { length: count },
    () => pool.splice(random.whole(0, pool.length - 1), 1)[0],
  );
  const out = new Set(others.map((p) => family(p.name)));
  const prior = priorFromPigments(all.filter((p) => !out.has(family(p.name))));
  return { white, black, others, prior };
}
