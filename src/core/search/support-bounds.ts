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

/** Bands, at hand for the loops. */
const N = BANDS;
/** The supports are worked out anew when the worst kept error fell to this share of theirs. */
const SHRUNK = 0.9;

const AXES: readonly Direction[] = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];
const NO_SHIFT: LabBox = [0, 0, 0, 0, 0, 0];

/** One light, and where the colours near enough to its aim lie along its directions. */
interface Ball {
  readonly view: FindView;
  readonly directions: Direction[];
  /** Place of its first direction among all. */
  readonly from: number;
}

/**
 * Where the colours that are still good enough lie, along a few directions of each light, as sums
 * over the bands of line x body reflectance.
 *
 * A class, since it narrows while a find runs.
 */
export class SupportBounds {
  /** Directions of all lights, one after the other: weights by band, and their sizes. */
  readonly lines: Float64Array;
  readonly sizes: Float64Array;
  /** Least and most along each direction, for sets without and with special clays. */
  readonly ranges: readonly [Supports, Supports];
  readonly balls: readonly Ball[];
  readonly count: number;
  /** Body reflectance R / (1 - inner R) counts this much in a reading. */
  readonly through: number;
  readonly inner: number;
  private readonly problem: SearchProblem;
  private readonly gloss: number;
  private readonly special: boolean;
  private readonly shift: LabBox;
  private radius = Number.POSITIVE_INFINITY;

  constructor(problem: SearchProblem) {
    this.problem = problem;
    const { outer, inner, specularIncluded } = claySurface(problem.geometry);
    this.inner = inner;
    this.through = (1 - outer) * (1 - inner);
    this.gloss = specularIncluded ? outer : 0;
    let count = 0;
    this.balls = problem.views.map((view) => {
      // The last place is for the direction to the best found, which is known later.
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

  /** Takes note of what was found since; true when the ranges became narrower. */
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
   * Turns the last direction of the first light from its aim to the best found: past the edge of
   * reach, this is where recipes are cut off.
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

  private draw({ view, directions, from }: Ball, d: number): void {
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
