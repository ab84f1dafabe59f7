/**
 * The plain search that faster ones are compared with. Frozen: it is the textbook written once,
 * shares no code with the product, and is not to be made faster. Every recipe of whole parts is
 * visited by recursion. K and S are summed part by part, and each recipe goes through all bands:
 * mix, reflectance, surface, XYZ, CIELAB, CIEDE2000.
 * Sources: K and S add in proportion [Duncan1940]; opaque layer [Kubelka1948]; surface
 *          [Saunderson1942]; CIELAB [CIE15]; CIEDE2000 [Sharma2005]. That the colour of a mix with
 *          white counts as K c C^dilution is the product's own, see `SharedPhysics`.
 */

/** Everything that decides the colour of a mix, as plain arrays. */
export interface PlainStock {
  readonly clays: readonly {
    readonly absorption: ArrayLike<number>;
    readonly scattering: ArrayLike<number>;
    readonly white: boolean;
  }[];
  /** Weights of X, Y, Z by band, and XYZ of the white. */
  readonly weights: {
    readonly x: ArrayLike<number>;
    readonly y: ArrayLike<number>;
    readonly z: ArrayLike<number>;
    readonly white: readonly [number, number, number];
  };
  /** k1, k2, and how much of the gloss a reading holds. */
  readonly surface: {
    readonly outer: number;
    readonly inner: number;
    readonly glossShare: number;
  };
  readonly dilution: number;
  /** Amount is share to the power 1 + this; no clay of these stocks is a concentrate. */
  readonly shareExponent: number;
}

export interface PlainSearchInput extends PlainStock {
  readonly aim: readonly [number, number, number];
  readonly mostClays: number;
  readonly parts: number;
  /** How many recipes to list; ten when absent. */
  readonly top?: number;
}

export interface PlainRecipe {
  readonly parts: readonly { readonly clay: number; readonly parts: number }[];
  readonly total: number;
  readonly lab: readonly [number, number, number];
  readonly dE00: number;
}

/**
 * Shape:   as `startSearch`: 1 to mostClays clays, 1 to `parts` parts, no common factor
 * Returns: best first, equal errors by total parts and then by clays; `tried` counts the recipes
 *          whose colour was worked out
 */
export function plainSearch(input: PlainSearchInput): { best: PlainRecipe[]; tried: number } {
  const { clays, aim, mostClays, top = 10 } = input;
  const bands = input.weights.x.length;
  const levels = Array.from({ length: mostClays + 1 }, () => ({
    whiteK: new Float64Array(bands),
    colourK: new Float64Array(bands),
    s: new Float64Array(bands),
  }));
  const chosen: { clay: number; parts: number }[] = [];
  const best: PlainRecipe[] = [];
  let tried = 0;

  function extend(from: number, left: number): void {
    const before = levels[chosen.length];
    const sums = levels[chosen.length + 1];
    for (let clay = from; clay < clays.length; clay++) {
      const { absorption, scattering, white } = clays[clay];
      sums.whiteK.set(before.whiteK);
      sums.colourK.set(before.colourK);
      sums.s.set(before.s);
      const own = { clay, parts: 0 };
      chosen.push(own);
      while (own.parts < left) {
        own.parts++;
        const k = white ? sums.whiteK : sums.colourK;
        const more = counted(input, own.parts) - counted(input, own.parts - 1);
        for (let band = 0; band < bands; band++) {
          k[band] += more * absorption[band];
          sums.s[band] += more * scattering[band];
        }
        judge(sums);
        if (chosen.length < mostClays) extend(clay + 1, left - own.parts);
      }
      chosen.pop();
    }
  }

  function judge(sums: (typeof levels)[number]): void {
    let divisor = 0;
    for (const { parts } of chosen) divisor = commonDivisor(divisor, parts);
    if (divisor > 1) return;
    tried++;
    let total = 0;
    let coloured = 0;
    for (const { clay, parts } of chosen) {
      total += counted(input, parts);
      if (!clays[clay].white) coloured += counted(input, parts);
    }
    const factor = coloured === 0 ? 1 : (coloured / total) ** input.dilution;
    const lab = plainLab(input, sums.whiteK, sums.colourK, sums.s, factor);
    const dE00 = plainDeltaE2000(aim, lab);
    if (best.length === top && dE00 > best[top - 1].dE00) return;
    best.push({ parts: chosen.map((part) => ({ ...part })), total, lab, dE00 });
    best.sort(
      (one, other) =>
        one.dE00 - other.dE00 || one.total - other.total || byClays(one.parts, other.parts),
    );
    if (best.length > top) best.pop();
  }

  extend(0, input.parts);
  return { best, tried };
}

/** Number of recipes, without those that have a common factor. */
export function plainCount(clays: number, mostClays: number, parts: number): number {
  let all = 0;
  for (let m = 1; m <= Math.min(mostClays, clays); m++) {
    // Counts of m positive parts with sum t and no common factor: Moebius over the divisors of t.
    let coprime = 0;
    for (let t = 1; t <= parts; t++) {
      for (let d = 1; d <= t; d++) {
        if (t % d === 0) coprime += moebius(d) * choose(t / d - 1, m - 1);
      }
    }
    all += choose(clays, m) * coprime;
  }
  return all;
}

/** Colour of a mix from whole parts, for aims and tests. */
export function plainMix(
  stock: PlainStock,
  recipe: readonly { readonly clay: number; readonly parts: number }[],
): readonly [number, number, number] {
  const bands = stock.weights.x.length;
  const whiteK = new Float64Array(bands);
  const colourK = new Float64Array(bands);
  const s = new Float64Array(bands);
  let total = 0;
  let coloured = 0;
  for (const { clay, parts } of recipe) {
    const { absorption, scattering, white } = stock.clays[clay];
    const amount = counted(stock, parts);
    total += amount;
    if (!white) coloured += amount;
    for (let band = 0; band < bands; band++) {
      (white ? whiteK : colourK)[band] += amount * absorption[band];
      s[band] += amount * scattering[band];
    }
  }
  return plainLab(
    stock,
    whiteK,
    colourK,
    s,
    coloured === 0 ? 1 : (coloured / total) ** stock.dilution,
  );
}

/** What so many parts count for; only ratios of it matter. */
function counted({ shareExponent }: PlainStock, parts: number): number {
  return parts ** (1 + shareExponent);
}

function plainLab(
  { weights, surface }: PlainStock,
  whiteK: Float64Array,
  colourK: Float64Array,
  s: Float64Array,
  factor: number,
): readonly [number, number, number] {
  const { outer, inner, glossShare } = surface;
  let x = 0;
  let y = 0;
  let z = 0;
  for (let band = 0; band < s.length; band++) {
    const q = (whiteK[band] + factor * colourK[band]) / s[band];
    const inside = 1 + q - Math.sqrt(q * q + 2 * q);
    const body = ((1 - outer) * (1 - inner) * inside) / (1 - inner * inside);
    const seen = glossShare * outer + body;
    x += weights.x[band] * seen;
    y += weights.y[band] * seen;
    z += weights.z[band] * seen;
  }
  const fx = root(x / weights.white[0]);
  const fy = root(y / weights.white[1]);
  const fz = root(z / weights.white[2]);
  return [116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)];
}

function root(t: number): number {
  return t > 216 / 24389 ? Math.cbrt(t) : ((24389 / 27) * t + 16) / 116;
}

/** CIEDE2000 step by step as [Sharma2005] numbers it, equations 2 to 22. */
export function plainDeltaE2000(
  [l1, a1, b1]: readonly [number, number, number],
  [l2, a2, b2]: readonly [number, number, number],
): number {
  const c1 = Math.sqrt(a1 * a1 + b1 * b1);
  const c2 = Math.sqrt(a2 * a2 + b2 * b2);
  const mean7 = seventh((c1 + c2) / 2);
  const g = 0.5 * (1 - Math.sqrt(mean7 / (mean7 + seventh(25))));
  const ap1 = (1 + g) * a1;
  const ap2 = (1 + g) * a2;
  const cp1 = Math.sqrt(ap1 * ap1 + b1 * b1);
  const cp2 = Math.sqrt(ap2 * ap2 + b2 * b2);
  const hp1 = hue(ap1, b1);
  const hp2 = hue(ap2, b2);
  let dh = 0;
  let hm = hp1 + hp2;
  if (cp1 * cp2 !== 0) {
    dh = hp2 - hp1;
    if (dh > 180) dh -= 360;
    else if (dh < -180) dh += 360;
    if (Math.abs(hp1 - hp2) <= 180) hm = (hp1 + hp2) / 2;
    else hm = (hp1 + hp2 + (hp1 + hp2 < 360 ? 360 : -360)) / 2;
  }
  const dLp = l2 - l1;
  const dCp = cp2 - cp1;
  const dHp = 2 * Math.sqrt(cp1 * cp2) * sine(dh / 2);
  const lm = (l1 + l2) / 2;
  const cm = (cp1 + cp2) / 2;
  const t =
    1 -
    0.17 * cosine(hm - 30) +
    0.24 * cosine(2 * hm) +
    0.32 * cosine(3 * hm + 6) -
    0.2 * cosine(4 * hm - 63);
  const fromMid = lm - 50;
  const sL = 1 + (0.015 * fromMid * fromMid) / Math.sqrt(20 + fromMid * fromMid);
  const sC = 1 + 0.045 * cm;
  const sH = 1 + 0.015 * cm * t;
  const blue = (hm - 275) / 25;
  const turn = 30 * Math.exp(-blue * blue);
  const rC = 2 * Math.sqrt(seventh(cm) / (seventh(cm) + seventh(25)));
  const rT = -sine(2 * turn) * rC;
  const vL = dLp / sL;
  const vC = dCp / sC;
  const vH = dHp / sH;
  return Math.sqrt(Math.max(0, vL * vL + vC * vC + vH * vH + rT * vC * vH));
}

function seventh(v: number): number {
  return v * v * v * v * v * v * v;
}

function hue(a: number, b: number): number {
  if (a === 0 && b === 0) return 0;
  const degrees = (Math.atan2(b, a) * 180) / Math.PI;
  return degrees < 0 ? degrees + 360 : degrees;
}

function sine(degrees: number): number {
  return Math.sin((degrees * Math.PI) / 180);
}

function cosine(degrees: number): number {
  return Math.cos((degrees * Math.PI) / 180);
}

function byClays(one: PlainRecipe['parts'], other: PlainRecipe['parts']): number {
  for (let i = 0; i < Math.min(one.length, other.length); i++) {
    const apart = one[i].clay - other[i].clay || other[i].parts - one[i].parts;
    if (apart !== 0) return apart;
  }
  return one.length - other.length;
}

function commonDivisor(a: number, b: number): number {
  return b === 0 ? a : commonDivisor(b, a % b);
}

function moebius(n: number): number {
  let left = n;
  let sign = 1;
  for (let p = 2; p <= left; p++) {
    if (left % p !== 0) continue;
    left /= p;
    if (left % p === 0) return 0;
    sign = -sign;
  }
  return sign;
}

function choose(n: number, k: number): number {
  if (k > n) return 0;
  let value = 1;
  for (let i = 1; i <= k; i++) value = (value * (n - k + i)) / i;
  return Math.round(value);
}
