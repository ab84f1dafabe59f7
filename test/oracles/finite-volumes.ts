/** A layer as heat sees it; the same fields as the product's, written down apart from its code. */
interface Layer {
  readonly thicknessM: number;
  readonly conductivityWPerMK: number;
  readonly heatJPerM3K: number;
}

/**
 * Heat into layers, stepped through time: an oracle that shares nothing with the product. Implicit in two
 * stages of second order (TR-BDF2), the equations of each stage solved row by row. Cells of a layer are equal.
 * Returns the share of the rise still to come at the inner face of the last layer; of one layer, in the middle.
 */
export function finiteVolumes(
  body: 'slab' | 'cylinder' | 'sphere',
  layers: readonly Layer[],
  transfer: number,
  seconds: number,
  { cells, steps }: { readonly cells: number; readonly steps: number },
): number {
  const power = { slab: 0, cylinder: 1, sphere: 2 }[body];
  const each = Math.round(cells / layers.length);
  const n = each * layers.length;
  const size = new Float64Array(n);
  const k = new Float64Array(n);
  const heat = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const layer = layers[Math.floor(i / each)];
    size[i] = layer.thicknessM / each;
    k[i] = layer.conductivityWPerMK;
    heat[i] = layer.heatJPerM3K;
  }
  const face = new Float64Array(n + 1);
  for (let i = 0; i < n; i++) face[i + 1] = face[i] + size[i];
  const capacity = size.map(
    (_, i) => (heat[i] * (face[i + 1] ** (power + 1) - face[i] ** (power + 1))) / (power + 1),
  );
  // through[i] is the heat through the face outside of cell i for one degree.
  const through = size.map((_, i) => {
    const beyond = i + 1 < n ? size[i + 1] / (2 * k[i + 1]) : 1 / transfer;
    return face[i + 1] ** power / (size[i] / (2 * k[i]) + beyond);
  });
  const flow = (u: Float64Array, i: number) =>
    (i > 0 ? through[i - 1] * (u[i - 1] - u[i]) : 0) +
    through[i] * ((i + 1 < n ? u[i + 1] : 0) - u[i]);
  const dt = seconds / steps;
  const gamma = 2 - Math.SQRT2;
  let u: Float64Array<ArrayBuffer> = new Float64Array(n).fill(1);
  for (let step = 0; step < steps; step++) {
    const half = solved(
      u.map((v, i) => capacity[i] * v + ((gamma * dt) / 2) * flow(u, i)),
      (gamma * dt) / 2,
    );
    const [a, b] = [1 / (gamma * (2 - gamma)), (1 - gamma) ** 2 / (gamma * (2 - gamma))];
    u = solved(
      half.map((v, i) => capacity[i] * (a * v - b * u[i])),
      ((1 - gamma) / (2 - gamma)) * dt,
    );
  }
  if (layers.length === 1) return (9 * u[0] - u[1]) / 8;
  const at = n - each;
  const [inner, outer] = [k[at - 1] / size[at - 1], k[at] / size[at]];
  return (inner * u[at - 1] + outer * u[at]) / (inner + outer);

  /** (capacity + w A) x = right, with A the flows out of each cell. */
  function solved(right: Float64Array, w: number): Float64Array<ArrayBuffer> {
    const upper = new Float64Array(n);
    const x = Float64Array.from(right);
    for (let i = 0; i < n; i++) {
      const below = i > 0 ? -w * through[i - 1] : 0;
      const own = capacity[i] + w * (through[i] + (i > 0 ? through[i - 1] : 0));
      const pivot = own - (i > 0 ? below * upper[i - 1] : 0);
      upper[i] = i + 1 < n ? (-w * through[i]) / pivot : 0;
      x[i] = (x[i] - (i > 0 ? below * x[i - 1] : 0)) / pivot;
    }
    for (let i = n - 2; i >= 0; i--) x[i] -= upper[i] * x[i + 1];
    return x;
  }
}
