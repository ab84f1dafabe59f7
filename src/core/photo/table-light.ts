import { blocksAlike } from './blocks-alike.ts';
import type { SeenPatch } from './camera-equations.ts';
import type { CameraFit } from './fit-camera.ts';
import {
  type JointFit,
  type JointShown,
  type JointTerms,
  jointAt,
  jointFit,
  jointPriors,
  jointRow,
} from './joint-light.ts';
import { type Placed, shownOn } from './joint-shown.ts';
import { LOCAL_MM, localLight } from './local-light.ts';
import type { Picture } from './picture.ts';
import type { Point } from './plane-view.ts';
import { fallIn, likelyEdges, type ShadowEdge, shadowAt } from './shadow-edge.ts';
import { evenBlocks, type TableBlock } from './table-blocks.ts';

export interface LightThere {
  readonly log: number;
  readonly spread: number;
}

/** How much light falls where on a table, against the middle of the chart. */
export interface TableLight {
  /** Logarithm of the light at a pixel over that at the chart, and its standard deviation. */
  readonly at: (pixel: Point) => LightThere;
  /** The same at one pixel over that at another. */
  readonly between: (pixel: Point, other: Point) => LightThere;
  /** Chance that an edge of a shadow falls on the table, and the share of the light it takes. */
  readonly shadow: {
    readonly chance: number;
    readonly depth: number;
    /** The table has a strong pattern, which may pass for a shallow shadow. */
    readonly isPatterned: boolean;
  };
  /** The edges that explain most, however likely they are. */
  readonly edges: readonly ShadowEdge[];
}

/** A chart in the picture, for the light over its table. */
export interface ChartOnTable {
  readonly middle: Point;
  readonly pitchPx: number;
  /** Pixel of each patch. */
  readonly centres: readonly Point[];
}

/** A field of light that may be; with the edge of a shadow, where it has one. */
interface Model {
  readonly terms: JointTerms;
  readonly edge?: NonNullable<JointFit['edge']>;
}

const PITCH_MM = 20;
/** An edge and tints must explain more than this, because they always explain something. */
const EDGE_COSTS = { even: 14, patterned: 24 };
const TINTS_COST = 2;
const CURVES_COST = 8;
const QUADRATIC: readonly JointTerms[] = [false, true].map((tinted) => ({ tinted, curved: false }));
const CURVED: readonly JointTerms[] = QUADRATIC.map((terms) => ({ ...terms, curved: true }));
/** The edge of a plank is sharp; shadows of lamps and windows are sharp only close to the table. */
const SHARP_MM = 2;
const SHARP_COSTS = 40;
/** On a table with a strong pattern, a shallow shadow is most likely a part of the pattern; as a logarithm. */
const SHALLOW = 0.25;
const SHALLOW_COSTS = 40;
/** Edges that are looked at more closely. */
const EDGES = 4;
/** Share of the spread of blocks that the pattern of a table may carry into the field. */
const PATTERN_UNSURE = 0.35;
/** Spread of blocks, as a logarithm, from which the pattern of a table is strong. */
const STRONG_PATTERN = 0.02;
/** So many times that spread is the pattern of planks. */
const PATTERNED = 1.5;
/** Costs so far apart are a factor of e; boards are less regular than the costs assume. */
const TEMPER = { even: 2, patterned: 4 };
/** Shadows have no such simple shape: by this share the light is less sure where one falls. */
const SHADOW_UNSURE = 0.3;
/** Unsure even where blocks and patches agree: tiles are higher than the table. */
const LEAST_SPREAD = 0.015;

/**
 * Light over a table from its surface, together with the patches of a chart on it.
 * Shape:   picture, blocks of its surface, the chart, patches as seen and a fit of them, the light
 *          found by an earlier fit -> light;
 *          without blocks the patches and the priors decide, and the spread says so
 * Method:  fields with and without an edge, with and without the tint of the surface, weighed by
 *          how well each explains blocks and patches
 */
export function tableLight(
  picture: Picture,
  blocks: readonly TableBlock[],
  chart: ChartOnTable,
  patches: readonly (SeenPatch | undefined)[],
  fit: CameraFit,
  before?: TableLight,
): TableLight {
  const placed = placedIn(picture, ([x, y]) => [
    ((x - chart.middle[0]) / chart.pitchPx) * PITCH_MM,
    ((y - chart.middle[1]) / chart.pitchPx) * PITCH_MM,
  ]);
  const shown = shownOn(evenBlocks(blocks, fit), patches, chart.centres, fit, placed);
  return lightAtPlaces(shown, placed, chart.middle, { begin: before?.edges });
}

/** Places in a picture, for `lightAtPlaces`. */
export function placedIn(
  { width, height }: Picture,
  mm: (pixel: Point) => Point,
): (pixel: Point) => Placed {
  const half = Math.max(width, height) / 2;
  return (pixel) => ({
    at: [(pixel[0] - width / 2) / half, (pixel[1] - height / 2) / half],
    mm: mm(pixel),
  });
}

/**
 * Light from what is shown of the light, against that at a pixel.
 * Shape:   samples, places of pixels, the pixel; what an edge costs beyond what it always explains, and
 *          an edge from which to begin
 */
export function lightAtPlaces(
  shown: JointShown,
  placed: (pixel: Point) => Placed,
  reference: Point,
  {
    edgeCosts = 0,
    begin,
  }: { readonly edgeCosts?: number; readonly begin?: readonly ShadowEdge[] | undefined } = {},
): TableLight {
  const first = bestOf(QUADRATIC.map((terms) => jointFit(shown, terms)));
  const alike = blocksAlike(shown, first);
  const even = { ...shown, alike };
  const edged = withEdges(even, first, begin);
  // On a table with a strong pattern, planks of two tones look like a shadow.
  const least = Math.min(...[first, ...edged].map(({ blockSpread }) => blockSpread));
  const pattern = Math.max(1, least / STRONG_PATTERN);
  const isPatterned = pattern > PATTERNED;
  const patterned = { ...shown, alike: alike * pattern ** 2 };
  const models: readonly Model[] = [
    ...[...QUADRATIC, ...CURVED].map((terms) => ({ terms })),
    ...edged.flatMap(({ edge }) => QUADRATIC.map((terms) => ({ terms, edge: edge! }))),
  ];
  const fits = models.map(({ terms, edge }) => jointFit(patterned, terms, edge));
  // Weighed without that: boards have tones at random, and hardly ever together those of a shadow.
  const costs = models.map(
    ({ terms, edge }) =>
      jointFit(even, terms, edge).cost +
      (edge === undefined ? 0 : edgeCosts + edgeCost(edge, isPatterned)) +
      (terms.tinted ? TINTS_COST : 0) +
      (terms.curved ? CURVES_COST : 0),
  );
  const best = Math.min(...costs);
  const raw = costs.map((cost) =>
    Math.exp((best - cost) / (isPatterned ? TEMPER.patterned : TEMPER.even)),
  );
  const total = raw.reduce((sum, v) => sum + v, 0);
  const shares = raw.map((v) => v / total);
  const patternSpread =
    PATTERN_UNSURE * fits.reduce((sum, { blockSpread }, k) => sum + shares[k] * blockSpread, 0);
  const shadowed = fits.map(({ edge }, k) => (edge === undefined ? 0 : shares[k]));
  const chance = shadowed.reduce((sum, v) => sum + v, 0);
  const between = (pixel: Point, other: Point): LightThere => {
    const [here, there] = [placed(pixel), placed(other)];
    // What is unsure of one place is unsure of another one beside it too.
    const apart = Math.hypot(here.mm[0] - there.mm[0], here.mm[1] - there.mm[1]);
    const shared = Math.exp(-(apart ** 2) / (2 * LOCAL_MM ** 2));
    const each = fits.map((one) => {
      const field = jointAt(one, here, there);
      const [off, on] = [there, here].map(({ mm }) => localLight(patterned, one, mm));
      return {
        log: field.log + on.log - off.log,
        spread: Math.sqrt(
          field.spread ** 2 +
            on.spread ** 2 +
            off.spread ** 2 -
            2 * shared * on.spread * off.spread,
        ),
      };
    });
    const log = each.reduce((sum, one, k) => sum + shares[k] * one.log, 0);
    const variance = each.reduce(
      (sum, one, k) => sum + shares[k] * (one.spread ** 2 + (one.log - log) ** 2),
      LEAST_SPREAD ** 2 + patternSpread ** 2,
    );
    return { log, spread: Math.sqrt(variance) * (1 + SHADOW_UNSURE * chance) };
  };
  const depth = fits.reduce((sum, { edge }, k) => sum + shadowed[k] * seenDepth(shown, edge), 0);
  return {
    at: (pixel) => between(pixel, reference),
    between,
    shadow: { chance, depth: chance > 0 ? depth / chance : 0, isPatterned },
    edges: edged.map(({ edge }) => edge!.shape),
  };
}

/** A table is not white paper: less than this may be its pattern. */
const TABLE_SHADOW = { even: 0.12, patterned: 0.27 };
const SHADOW_CHANCE = 0.8;

/** What is said of a shadow on a table; undefined where none is likely. */
export function tableShadowNote({ shadow }: TableLight): string | undefined {
  const least = TABLE_SHADOW[shadow.isPatterned ? 'patterned' : 'even'];
  if (shadow.chance <= SHADOW_CHANCE || shadow.depth <= least) return undefined;
  return 'A shadow seems to fall across the table. Tiles at its edge are read less precisely; better take the photo again without it.';
}

/** The edges that explain most beside a smooth field, each fitted together with it. */
function withEdges(
  shown: JointShown,
  plain: JointFit,
  begin: readonly ShadowEdge[] | undefined,
): readonly JointFit[] {
  const block = shown.alike * plain.blockSpread ** 2;
  const found = likelyEdges(
    {
      places: shown.mm,
      rows: shown.logs.map((_, i) => jointRow(shown, i, plain.terms)),
      logs: shown.logs,
      worth: shown.patchSpread.map((own) => (own === undefined ? 1 : block / own ** 2)),
      even: 1.345 * plain.blockSpread,
      hold: jointPriors(plain.terms).map((prior) => block / prior ** 2),
      apart: EDGES,
    },
    begin,
  );
  return found.map(({ edge, depth }) => {
    const first = jointFit(shown, plain.terms, { shape: edge, depth });
    // The depth bends how the edge falls, so it settles in a second fit.
    return jointFit(shown, plain.terms, { shape: edge, depth: first.edge!.depth });
  });
}

/** The share of the light that a shadow takes where it is deepest in the picture. */
function seenDepth({ mm }: JointShown, edge: JointFit['edge']): number {
  if (edge === undefined) return 0;
  const falls = mm.map((place) => fallIn(shadowAt(edge.shape, place), edge.depth));
  return -Math.expm1(Math.min(...falls) - Math.max(...falls));
}

/** What an edge must explain to be one, beyond what any edge explains. */
function edgeCost({ shape, depth }: NonNullable<Model['edge']>, isPatterned: boolean): number {
  const sharp = shape.softMm < SHARP_MM ? SHARP_COSTS : 0;
  if (!isPatterned) return EDGE_COSTS.even + sharp;
  return EDGE_COSTS.patterned + sharp + (Math.abs(depth) < SHALLOW ? SHALLOW_COSTS : 0);
}

function bestOf(fits: readonly JointFit[]): JointFit {
  return fits.reduce((a, b) => (b.cost < a.cost ? b : a));
}
