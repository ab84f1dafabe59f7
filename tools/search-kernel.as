// The inner loops of the bounded search (src/core/search/search-bounds.ts), four bands at a time in
// 32 bit. AssemblyScript; built into src/core/search/search-kernel.data.ts by tools/make-kernel.ts.
//
// Whatever this rejects the bounds in 64 bit reject too: every step rounds outward by EPSILON.
//
// Why EPSILON is enough. u = 2^-24 is the most a 32-bit operation is off, as a share. All terms are
// positive until a direction is applied, so shares of errors add up and nothing cancels. Of n = 8
// clays at most: K and S are sums of n products, each of a rounded curve and a rounded weight
// (3u) added n - 1 times (7u): 10u each. A weight may hold the factor of dilution, whose argument
// has the errors of two more sums (16u) and whose exponent is under 1 in size, plus 2u of its own
// steps: 28u in all for K. The body s / (k + (1 - k2) s + sqrt(k (k + 2 s))) moves by a share no
// more than those of K and S together (38u), and its own steps add 8u: 46u; dividing by a factor
// adds 3u more (and the 18u of that factor): 67u. A sum over 36 bands in four lanes adds one product
// and a rounded line (2u), nine additions, three across the lanes and the reach: 15u of the sum of
// sizes. Together 82u of the largest body in each band, under 2^-24 x 128 = 2^-17. What the host
// rounds, the supports, it rounds outward.
const EPSILON: f32 = 1.0 / 131072.0;

/** Bytes of a curve: 36 bands. */
const ROW: usize = 144;
/** Bytes of a corner: stamp, factor, two unused, a curve. */
const CORNER: usize = 160;
/** Bytes of a cell: what follows its last part, number of recipes, place of the first, slack, corners. */
const CELL_HEAD: usize = 16;
const MOST_CLAYS: i32 = 8;

// Scratch: least and most body of the bundle as middle and half; pointers and weights of a set.
const MIDDLE = memory.data(144, 16);
const HALF = memory.data(144, 16);
const K_OF = memory.data(32, 16);
const S_OF = memory.data(32, 16);
const WHITE = memory.data(32, 16);
const AMOUNT = memory.data(32, 16);
const K_WEIGHT = memory.data(32, 16);
const S_WEIGHT = memory.data(32, 16);
const RESULT = memory.data(16, 16);
/** By direction of one light. */
const OVER = memory.data(256, 16);

/** First byte that the host may use. */
export function heapBase(): usize {
  return __heap_base;
}

// Lights and directions, `perLight` of them each, a multiple of four.
/** Of each direction: weight by band. */
let lines: usize = 0;
/** Of each light: c of X by direction, c of Y, c of Z, sum of their sizes. */
let heads: usize = 0;
/** Of each light: least and most by direction for sets without special clays, then with. */
let supports: usize = 0;
/** Of each light: its directions in the order they are tried, what failed lately first. */
let order: usize = 0;
/** Of each light: weights of X, Y, Z and the largest of their sizes, by band. */
let weights: usize = 0;
let lights: i32 = 0;
let perLight: i32 = 0;
let outside: f32 = 0.4;
let dilution: f32 = 0;

export function setDirections(
  lines_: usize,
  heads_: usize,
  supports_: usize,
  order_: usize,
  weights_: usize,
  lights_: i32,
  perLight_: i32,
  inner: f32,
  dilution_: f32,
): void {
  lines = lines_;
  heads = heads_;
  supports = supports_;
  order = order_;
  weights = weights_;
  lights = lights_;
  perLight = perLight_;
  outside = 1 - inner;
  dilution = dilution_;
}

/** Sum of the lanes. */
// @ts-ignore: decorator
@inline
function across(v: v128): f32 {
  return (
    f32x4.extract_lane(v, 0) +
    f32x4.extract_lane(v, 1) +
    (f32x4.extract_lane(v, 2) + f32x4.extract_lane(v, 3))
  );
}

/** S / (S + K + sqrt(K (K + 2 S))) seen through the surface. */
// @ts-ignore: decorator
@inline
function bodyOf(k: v128, s: v128): v128 {
  const root = f32x4.sqrt(f32x4.mul(k, f32x4.add(k, f32x4.add(s, s))));
  return f32x4.div(s, f32x4.add(f32x4.add(k, f32x4.mul(f32x4.splat(outside), s)), root));
}

/**
 * How far MIDDLE lies past the support of each direction of a light, into OVER, less what rounding
 * may have to do with it; true when it is past any.
 */
function lookPast(light: i32, special: i32): bool {
  const by = weights + <usize>light * (4 * ROW);
  let x = f32x4.splat(0);
  let y = f32x4.splat(0);
  let z = f32x4.splat(0);
  let m = f32x4.splat(0);
  for (let o: usize = 0; o < ROW; o += 16) {
    const body = v128.load(MIDDLE + o);
    x = f32x4.add(x, f32x4.mul(body, v128.load(by + o)));
    y = f32x4.add(y, f32x4.mul(body, v128.load(by + o, 144)));
    z = f32x4.add(z, f32x4.mul(body, v128.load(by + o, 288)));
    m = f32x4.add(m, f32x4.mul(body, v128.load(by + o, 432)));
  }
  const X = f32x4.splat(across(x));
  const Y = f32x4.splat(across(y));
  const Z = f32x4.splat(across(z));
  const slack = f32x4.splat(across(m) * EPSILON);
  const row = <usize>perLight << 2;
  const head = heads + <usize>light * 4 * row;
  const range = supports + <usize>(2 * light + special) * 2 * row;
  let any = f32x4.splat(0);
  for (let d: usize = 0; d < row; d += 16) {
    const at = f32x4.add(
      f32x4.add(f32x4.mul(v128.load(head + d), X), f32x4.mul(v128.load(head + row + d), Y)),
      f32x4.mul(v128.load(head + 2 * row + d), Z),
    );
    const past = f32x4.sub(
      f32x4.pmax(
        f32x4.sub(at, v128.load(range + row + d)),
        f32x4.sub(v128.load(range + d), at),
      ),
      f32x4.mul(v128.load(head + 3 * row + d), slack),
    );
    v128.store(OVER + d, past);
    any = f32x4.pmax(any, past);
  }
  return v128.any_true(f32x4.gt(any, f32x4.splat(0)));
}

/** Whether bodies within HALF of MIDDLE leave room for a colour that is near enough. */
function inReach(special: i32): bool {
  for (let light = 0; light < lights; light++) {
    if (!lookPast(light, special)) continue;
    const first = lines + <usize>(light * perLight) * ROW;
    const slots = order + (<usize>(light * perLight) << 2);
    for (let n = 0; n < perLight; n++) {
      const slot = slots + (<usize>n << 2);
      const d = load<i32>(slot);
      const past = load<f32>(OVER + (<usize>d << 2));
      if (past > 0 && past > reachOf(first + <usize>d * ROW)) {
        if (n > 0) {
          store<i32>(slot, load<i32>(slot - 4));
          store<i32>(slot - 4, d);
        }
        return false;
      }
    }
  }
  return true;
}

/** How far HALF can move a colour along a line. */
// @ts-ignore: decorator
@inline
function reachOf(line: usize): f32 {
  let one = f32x4.mul(f32x4.abs(v128.load(line)), v128.load(HALF));
  let two = f32x4.mul(f32x4.abs(v128.load(line, 16)), v128.load(HALF, 16));
  let three = f32x4.mul(f32x4.abs(v128.load(line, 32)), v128.load(HALF, 32));
  one = f32x4.add(one, f32x4.mul(f32x4.abs(v128.load(line, 48)), v128.load(HALF, 48)));
  two = f32x4.add(two, f32x4.mul(f32x4.abs(v128.load(line, 64)), v128.load(HALF, 64)));
  three = f32x4.add(three, f32x4.mul(f32x4.abs(v128.load(line, 80)), v128.load(HALF, 80)));
  one = f32x4.add(one, f32x4.mul(f32x4.abs(v128.load(line, 96)), v128.load(HALF, 96)));
  two = f32x4.add(two, f32x4.mul(f32x4.abs(v128.load(line, 112)), v128.load(HALF, 112)));
  three = f32x4.add(three, f32x4.mul(f32x4.abs(v128.load(line, 128)), v128.load(HALF, 128)));
  return across(f32x4.add(f32x4.add(one, two), three));
}

/**
 * Whether a bundle of groups may hold something near enough. `picks` of six words each: the group's
 * ranges (least K, most K, least S, most S), how much its K counts at least and at most and its S,
 * the same for the parts left over (K at least, K at most; S counts `spare`).
 */
export function mayHold(picks: usize, count: i32, spare: f32, special: i32): bool {
  const more = f32x4.splat(spare);
  for (let o: usize = 0; o < ROW; o += 16) {
    let kLow = f32x4.splat(0);
    let kHigh = f32x4.splat(0);
    let sLow = f32x4.splat(0);
    let sHigh = f32x4.splat(0);
    for (let p = 0; p < count; p++) {
      const pick = picks + <usize>p * 24;
      const ranges = <usize>load<i32>(pick) + o;
      const times = v128.load32_splat(pick, 12);
      kLow = f32x4.add(kLow, f32x4.mul(v128.load(ranges), v128.load32_splat(pick, 4)));
      kHigh = f32x4.add(kHigh, f32x4.mul(v128.load(ranges, 144), v128.load32_splat(pick, 8)));
      sLow = f32x4.add(sLow, f32x4.mul(v128.load(ranges, 288), times));
      sHigh = f32x4.add(sHigh, f32x4.mul(v128.load(ranges, 432), times));
    }
    let qLow = f32x4.splat(f32.MAX_VALUE);
    let qHigh = f32x4.splat(0);
    for (let p = 0; p < count; p++) {
      const pick = picks + <usize>p * 24;
      const ranges = <usize>load<i32>(pick) + o;
      const low = f32x4.div(
        f32x4.add(kLow, f32x4.mul(v128.load(ranges), v128.load32_splat(pick, 16))),
        f32x4.add(sHigh, f32x4.mul(v128.load(ranges, 432), more)),
      );
      const high = f32x4.div(
        f32x4.add(kHigh, f32x4.mul(v128.load(ranges, 144), v128.load32_splat(pick, 20))),
        f32x4.add(sLow, f32x4.mul(v128.load(ranges, 288), more)),
      );
      qLow = f32x4.pmin(qLow, low);
      qHigh = f32x4.pmax(qHigh, high);
    }
    const one = f32x4.splat(1);
    keep(o, bodyOf(qHigh, one), bodyOf(qLow, one));
  }
  return inReach(special);
}

/** The range of one vector, wider by what may have been rounded off before or will be. */
// @ts-ignore: decorator
@inline
function keep(o: usize, low: v128, high: v128): void {
  const half = f32x4.splat(0.5);
  v128.store(MIDDLE + o, f32x4.mul(f32x4.add(low, high), half));
  v128.store(
    HALF + o,
    f32x4.add(f32x4.mul(f32x4.sub(high, low), half), f32x4.mul(high, f32x4.splat(EPSILON))),
  );
}

// The set at hand, and the compositions of so many clays.
let size: i32 = 0;
let mixed: bool = false;
let setSpecial: i32 = 0;
let stamp: i32 = 0;
let cells: usize = 0;
let end: usize = 0;
/** What the parts at the corners count for, `size` each. */
let shares: usize = 0;
let places: usize = 0;
let counts: usize = 0;
let recipes: usize = 0;
let found: usize = 0;
let room: i32 = 0;
let clayCurves: usize = 0;
let clayWhite: usize = 0;
let clayAmount: usize = 0;

// May still be turned down by a rule on shares.
@external("host", "allows")
declare function allows(cell: i32): i32;

export function setCompositions(
  size_: i32,
  cells_: usize,
  end_: usize,
  shares_: usize,
  places_: usize,
  counts_: usize,
  recipes_: usize,
  found_: usize,
  room_: i32,
): void {
  size = size_;
  cells = cells_;
  end = end_;
  shares = shares_;
  places = places_;
  counts = counts_;
  recipes = recipes_;
  found = found_;
  room = room_;
}

/** Curves of the clays, K then S; whether each is white; how much a part of it holds. */
export function setClays(curves: usize, whites: usize, amounts: usize): void {
  clayCurves = curves;
  clayWhite = whites;
  clayAmount = amounts;
}

/** Takes up a set of clays, a number each. */
export function begin(set: usize, stamp_: i32, special: i32): void {
  stamp = stamp_;
  setSpecial = special;
  let whites = 0;
  for (let i = 0; i < size; i++) {
    const o = <usize>i << 2;
    const clay = <usize>load<i32>(set + o);
    const white = load<i32>(clayWhite + (clay << 2));
    store<i32>(K_OF + o, <i32>(clayCurves + clay * (2 * ROW)));
    store<i32>(S_OF + o, <i32>(clayCurves + clay * (2 * ROW) + ROW));
    store<i32>(WHITE + o, white);
    store<f32>(AMOUNT + o, load<f32>(clayAmount + (clay << 2)));
    whites += white;
  }
  mixed = whites > 0 && whites < size;
  store<i32>(RESULT + 4, 0);
  store<i32>(RESULT + 8, 0);
}

/** Where `walk` leaves how many recipes it found, cells it saw and recipes it tried since `begin`. */
export function resultAt(): usize {
  return RESULT;
}

/** How much K of each clay counts: its weight, and for colours the factor of dilution. */
function weigh(): f32 {
  if (!mixed) {
    for (let i = 0; i < size; i++) {
      const o = <usize>i << 2;
      store<f32>(K_WEIGHT + o, load<f32>(S_WEIGHT + o));
    }
    return 1;
  }
  let all: f32 = 0;
  let coloured: f32 = 0;
  for (let i = 0; i < size; i++) {
    const o = <usize>i << 2;
    const own = load<f32>(S_WEIGHT + o) * load<f32>(AMOUNT + o);
    all += own;
    if (load<i32>(WHITE + o) == 0) coloured += own;
  }
  const factor = Mathf.pow(coloured / all, dilution);
  for (let i = 0; i < size; i++) {
    const o = <usize>i << 2;
    const own = load<f32>(S_WEIGHT + o);
    store<f32>(K_WEIGHT + o, load<i32>(WHITE + o) == 0 ? own * factor : own);
  }
  return factor;
}

/** K and S of the set by the weights, at one vector. */
// @ts-ignore: decorator
@inline
function absorbed(o: usize): v128 {
  let k = f32x4.mul(v128.load(<usize>load<i32>(K_OF) + o), v128.load32_splat(K_WEIGHT));
  for (let i = 1; i < size; i++) {
    const w = <usize>i << 2;
    k = f32x4.add(
      k,
      f32x4.mul(v128.load(<usize>load<i32>(K_OF + w) + o), v128.load32_splat(K_WEIGHT + w)),
    );
  }
  return k;
}
// @ts-ignore: decorator
@inline
function scattered(o: usize): v128 {
  let s = f32x4.mul(v128.load(<usize>load<i32>(S_OF) + o), v128.load32_splat(S_WEIGHT));
  for (let i = 1; i < size; i++) {
    const w = <usize>i << 2;
    s = f32x4.add(
      s,
      f32x4.mul(v128.load(<usize>load<i32>(S_OF + w) + o), v128.load32_splat(S_WEIGHT + w)),
    );
  }
  return s;
}

/** Body of the set by the weights, times a factor. */
function mixInto(target: usize, factor: f32): void {
  const scale = f32x4.splat(factor);
  if (size == 4) {
    const k0 = <usize>load<i32>(K_OF);
    const k1 = <usize>load<i32>(K_OF, 4);
    const k2 = <usize>load<i32>(K_OF, 8);
    const k3 = <usize>load<i32>(K_OF, 12);
    const w0 = v128.load32_splat(K_WEIGHT);
    const w1 = v128.load32_splat(K_WEIGHT, 4);
    const w2 = v128.load32_splat(K_WEIGHT, 8);
    const w3 = v128.load32_splat(K_WEIGHT, 12);
    const s0 = v128.load32_splat(S_WEIGHT);
    const s1 = v128.load32_splat(S_WEIGHT, 4);
    const s2 = v128.load32_splat(S_WEIGHT, 8);
    const s3 = v128.load32_splat(S_WEIGHT, 12);
    for (let o: usize = 0; o < ROW; o += 16) {
      const k = f32x4.add(
        f32x4.add(f32x4.mul(v128.load(k0 + o), w0), f32x4.mul(v128.load(k1 + o), w1)),
        f32x4.add(f32x4.mul(v128.load(k2 + o), w2), f32x4.mul(v128.load(k3 + o), w3)),
      );
      const s = f32x4.add(
        f32x4.add(f32x4.mul(v128.load(k0 + o, 144), s0), f32x4.mul(v128.load(k1 + o, 144), s1)),
        f32x4.add(f32x4.mul(v128.load(k2 + o, 144), s2), f32x4.mul(v128.load(k3 + o, 144), s3)),
      );
      v128.store(target + o, f32x4.mul(bodyOf(k, s), scale));
    }
    return;
  }
  for (let o: usize = 0; o < ROW; o += 16) {
    v128.store(target + o, f32x4.mul(bodyOf(absorbed(o), scattered(o)), scale));
  }
}

/** Body at a corner, times its factor of dilution. */
function workOut(place: i32, corner: usize): void {
  const from = shares + (<usize>(place * size) << 2);
  for (let i = 0; i < size; i++) {
    const o = <usize>i << 2;
    store<f32>(S_WEIGHT + o, load<f32>(from + o));
  }
  const factor = weigh();
  store<i32>(corner, stamp);
  store<f32>(corner, factor, 4);
  mixInto(corner + 16, factor);
}

// @ts-ignore: decorator
@inline
function cornerAt(cell: usize, c: i32): usize {
  const place = load<i32>(cell + (<usize>c << 2), CELL_HEAD);
  const corner = places + <usize>place * CORNER;
  if (load<i32>(corner) != stamp) workOut(place, corner);
  return corner;
}

/**
 * Body between the corners of a cell. K of the colours counts with a factor that varies inside it;
 * the body moves by no more than K does.
 */
function rangeOf(cell: usize): void {
  const first = cornerAt(cell, 0);
  let from = load<f32>(first, 4);
  let to = from;
  for (let c = 1; c < size; c++) {
    const own = load<f32>(cornerAt(cell, c), 4);
    from = min(from, own);
    to = max(to, own);
  }
  const slack = load<f32>(cell, 12);
  const down = f32x4.splat(slack / to);
  const up = f32x4.splat(1 / (from * slack));
  if (size == 4) {
    const b1 = places + <usize>load<i32>(cell, CELL_HEAD + 4) * CORNER;
    const b2 = places + <usize>load<i32>(cell, CELL_HEAD + 8) * CORNER;
    const b3 = places + <usize>load<i32>(cell, CELL_HEAD + 12) * CORNER;
    for (let o: usize = 0; o < ROW; o += 16) {
      const v0 = v128.load(first + o, 16);
      const v1 = v128.load(b1 + o, 16);
      const v2 = v128.load(b2 + o, 16);
      const v3 = v128.load(b3 + o, 16);
      const low = f32x4.pmin(f32x4.pmin(v0, v1), f32x4.pmin(v2, v3));
      const high = f32x4.pmax(f32x4.pmax(v0, v1), f32x4.pmax(v2, v3));
      keep(o, f32x4.mul(low, down), f32x4.mul(high, up));
    }
    return;
  }
  for (let o: usize = 0; o < ROW; o += 16) {
    let low = v128.load(first + o, 16);
    let high = low;
    for (let c = 1; c < size; c++) {
      const place = load<i32>(cell + (<usize>c << 2), CELL_HEAD);
      const own = v128.load(places + <usize>place * CORNER + o, 16);
      low = f32x4.pmin(low, own);
      high = f32x4.pmax(high, own);
    }
    keep(o, f32x4.mul(low, down), f32x4.mul(high, up));
  }
}

/** Whether one recipe may be near enough. */
function near(recipe: i32): bool {
  store<i32>(RESULT + 8, load<i32>(RESULT + 8) + 1);
  const from = counts + (<usize>(recipe * size) << 2);
  for (let i = 0; i < size; i++) {
    const o = <usize>i << 2;
    store<f32>(S_WEIGHT + o, load<f32>(from + o));
  }
  weigh();
  mixInto(MIDDLE, 1);
  for (let light = 0; light < lights; light++) {
    if (lookPast(light, setSpecial)) return false;
  }
  return true;
}

/**
 * Walks the cells of the set at hand from one of them, 0 for the first; stops at the end, or when as
 * many recipes are found as asked for. Cells lie in the order they are visited, each followed by its
 * halves. Gives the cell to go on from, 0 at the end.
 */
export function walk(from: usize, asks: bool): usize {
  let cell = from == 0 ? cells : from;
  let count = 0;
  let seen = load<i32>(RESULT + 4);
  while (cell < end) {
    seen++;
    const skip = <usize>load<i32>(cell);
    if (asks && allows(<i32>(cell - cells)) == 0) {
      cell = skip;
      continue;
    }
    rangeOf(cell);
    if (!inReach(setSpecial)) {
      cell = skip;
      continue;
    }
    const own = load<i32>(cell, 4);
    if (own == 0) {
      cell = cell + CELL_HEAD + (<usize>size << 2);
      continue;
    }
    const list = recipes + (<usize>load<i32>(cell, 8) << 2);
    for (let r = 0; r < own; r++) {
      const recipe = load<i32>(list + (<usize>r << 2));
      if (near(recipe)) {
        store<i32>(found + (<usize>count << 2), recipe);
        count++;
      }
    }
    cell = skip;
    if (count >= room) break;
  }
  store<i32>(RESULT, count);
  store<i32>(RESULT + 4, seen);
  return cell < end ? cell : 0;
}
