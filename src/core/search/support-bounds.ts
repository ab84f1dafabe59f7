import type { LabBox } from '../colour/difference-bound.ts';
import { BANDS } from '../colour/grid.ts';
import { claySurface } from '../optics/surface.ts';
import {
  type Direction,
  directionFrom,
  directionsAt,
  regionSupports,
  type Supports,
} from './colour-region.ts';
import type { FindView } from './search-options.ts';
import type { SearchProblem } from './search-problem.ts';

/** Local copy of the number of bands, for fast loops. */
const N = BANDS;
/** The supports are recomputed when the worst listed error has fallen to this share of theirs. */
const SHRUNK = 0.9;

const AXES: readonly Direction[] = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];
const NO_SHIFT: LabBox = [0, 0, 0, 0, 0, 0];

/**
 * One light, and the extent along its directions of the colours that are close enough to its aim.
 */
interface Region {
  readonly view: FindView;
  readonly directions: Direction[];
  /** Place of its first direction among all. */
  readonly from: number;
}

/**
 * Extent of the colours that are still good enough, along a few directions of each light, as sums
 * over the bands of line x body reflectance. A class, since the extent shrinks while a search runs.
 */
export class SupportBounds {
  /** Directions of all lights, one after the other: weights by band, and their sizes. */
  readonly lines: Float64Array;
  readonly sizes: Float64Array;
  /** Least and most along each direction, for sets without and with special clays. */
  readonly ranges: readonly [Supports, Supports];
  readonly balls: readonly Region[];
  readonly count: number;
  /** Factor of body reflectance R / (1 - inner R) in a reading. */
  readonly through: number;
  readonly inner: number;
  private readonly problem: SearchProblem;
  private readonly gloss: number;
  private readonly special: boolean;
  private readonly shift: LabBox;
  private radius = Number.POSITIVE_INFINITY;

  constructor(problem: SearchProblem) {
    this.problem = problem;
    const { outer, inner, glossShare } = claySurface(problem.geometry);
    this.inner = inner;
    this.through = (1 - outer) * (1 - inner);
    this.gloss = glossShare * outer;
    let count = 0;
    this.balls = problem.views.map((view) => {
      // The last place is for the direction to the best recipe, which is known later.
      const directions: Direction[] = problem.ideas.sides
        ? [...directionsAt(view.aim, view.weights.white), [0, 1, 0]]
        : [...AXES];
      const from = count;
      count += directions.length;
      return { view, directions, from };
    });
    this.count = count;
    this.lines = new Float64Array(count * N);
    this.sizes = new Float64Array(count * N);
    for (const ball of this.balls) for (const d of ball.directions.keys()) this.draw(ball, d);
    const everywhere = () => ({
      least: new Float64Array(count).fill(Number.NEGATIVE_INFINITY),
      most: new Float64Array(count).fill(Number.POSITIVE_INFINITY),
    });
    this.ranges = [everywhere(), everywhere()];
    this.special = problem.curves.special.some((v) => v === 1);
    this.shift = shiftOf(problem);
  }

  /** Takes the recipes found since into account; true when the ranges became narrower. */
  refresh(): boolean {
    const { worst } = this.problem.kept;
    if (!(worst < this.radius * SHRUNK)) return false;
    this.radius = worst;
    this.pointAtBest();
    for (const { view, directions, from } of this.balls) {
      const { aim, weights, factors } = view;
      const plain = regionSupports(aim, weights.white, directions, worst, NO_SHIFT, factors);
      const special = this.special
        ? regionSupports(aim, weights.white, directions, worst, this.shift, factors)
        : plain;
      [plain, special].forEach(({ least, most }, i) => {
        directions.forEach(([cx, cy, cz], d) => {
          const [x, y, z] = weights.white;
          const base = this.gloss * (cx * x + cy * y + cz * z);
          this.ranges[i].least[from + d] = least[d] - base;
          this.ranges[i].most[from + d] = most[d] - base;
        });
      });
    }
    return true;
  }

  /**
   * Turns the last direction of the first light from its aim to the best recipe: beyond the edge of
   * the gamut, recipes are cut off in this direction.
   */
  private pointAtBest(): void {
    if (!this.problem.ideas.sides) return;
    const [best] = this.problem.kept.sorted();
    if (best === undefined) return;
    const [ball] = this.balls;
    const { aim, weights } = ball.view;
    const last = ball.directions.length - 1;
    ball.directions[last] = directionFrom(aim, best.lab, weights.white);
    this.draw(ball, last);
  }

  private draw({ view, directions, from }: Region, d: number): void {
    const [cx, cy, cz] = directions[d];
    const { x, y, z } = view.weights;
    for (let band = 0; band < N; band++) {
      const line = this.through * (cx * x[band] + cy * y[band] + cz * z[band]);
      this.lines[(from + d) * N + band] = line;
      this.sizes[(from + d) * N + band] = Math.abs(line);
    }
  }
}

/** What special clays can add to a colour, as a box around 0. */
function shiftOf({ departures, size }: SearchProblem): LabBox {
  const box = [0, 0, 0, 0, 0, 0];
  for (let i = 0; i < size; i++) {
    for (let axis = 0; axis < 3; axis++) {
      box[2 * axis] = Math.min(box[2 * axis], departures[3 * i + axis]);
      box[2 * axis + 1] = Math.max(box[2 * axis + 1], departures[3 * i + axis]);
    }
  }
  return box as unknown as LabBox;
}
