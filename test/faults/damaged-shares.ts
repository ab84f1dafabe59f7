/** Share files damaged in many ways, by a seed: for the tests a few, for bench/share.ts thousands. */
import { randomFrom } from '../../bench/random.ts';
import { canonicalJson, sha256Of } from '../../src/domain/canonical-json.ts';

export interface DamagedShare {
  readonly what: string;
  readonly damaged: Uint8Array;
  /** Sealed again, as a forger would. */
  readonly forged: boolean;
}

type Json = null | boolean | number | string | Json[] | { [key: string]: Json };

const ODD: readonly Json[] = [
  null,
  true,
  -1,
  1e308,
  1e-320,
  0.5,
  '',
  '\u0000',
  '\ud800',
  'x'.repeat(5000),
  '<script>alert(1)</script>',
  '=cmd()',
  [],
  {},
  [[[[]]]],
  { __proto__: null },
];

/** Some damaged forms of a sound file; those that keep their seal are sealed again, as a forger would. */
export function* damagedShares(
  sound: Uint8Array,
  count: number,
  seed: number,
): Generator<DamagedShare> {
  const { uniform } = randomFrom(seed);
  const below = (n: number) => Math.floor(uniform() * n);
  const text = new TextDecoder().decode(sound);
  for (let i = 0; i < count; i++) {
    const way = i % 6;
    if (way === 0) {
      yield { what: `${i} cut`, damaged: sound.slice(0, below(sound.length)), forged: false };
    } else if (way === 1) {
      const damaged = sound.slice();
      for (let n = 0; n <= below(8); n++) damaged[below(damaged.length)] = below(256);
      yield { what: `${i} bytes`, damaged, forged: false };
    } else if (way === 2) {
      const [from, to] = [below(text.length), below(text.length)].sort((a, b) => a - b);
      const doubled = text.slice(0, to) + text.slice(from);
      const damaged = new TextEncoder().encode(doubled);
      yield { what: `${i} doubled`, damaged, forged: false };
    } else {
      const value = JSON.parse(text) as { [key: string]: Json };
      const where = change(value, below, way);
      const { seal: _, ...body } = value;
      const forged = way === 5 ? value : { ...body, seal: sealOf(body) };
      const written = JSON.stringify(forged);
      const damaged = new TextEncoder().encode(written);
      yield { what: `${i} ${where}`, damaged, forged: way !== 5 };
    }
  }
}

function sealOf(body: unknown): string {
  try {
    return sha256Of(canonicalJson(body));
  } catch {
    return '0'.repeat(64);
  }
}

/** Changes one value somewhere inside, and says where. */
function change(root: { [key: string]: Json }, below: (n: number) => number, way: number): string {
  let here: { [key: string]: Json } | Json[] = root;
  const path: string[] = [];
  for (;;) {
    const keys: readonly string[] = Object.keys(here);
    if (keys.length === 0) return path.join('.');
    const key: string = keys[below(keys.length)];
    path.push(key);
    const inside: Json = (here as { [key: string]: Json })[key];
    const deeper = typeof inside === 'object' && inside !== null && below(5) > 0;
    if (deeper && Object.keys(inside).length > 0) {
      here = inside;
      continue;
    }
    const holder = here as { [key: string]: Json };
    if (way === 3) holder[key] = ODD[below(ODD.length)];
    else if (Array.isArray(here) && below(2) === 0) here.splice(Number(key), 1 + below(3));
    else if (typeof inside === 'number') holder[key] = inside * (below(2) === 0 ? -1e5 : 1e5);
    else if (below(2) === 0) delete holder[key];
    else holder[`${key} `] = inside ?? null;
    return path.join('.');
  }
}
