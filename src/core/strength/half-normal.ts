/** Values of the table on each side of 0, and how far it reaches; beyond, the last value counts. */
const HALF = 1500;
const REACH = 6;
const table = new Float64Array(2 * HALF + 1);
{
  // z grows with u so that both leave the same share behind: density(u) du = 2 density(z) dz. The slope is
  // followed from u = 0 outwards, where z is the middle of a half normal variable.
  const MIDDLE = 0.6744897501960817;
  const slope = (u: number, z: number) => Math.exp((z * z - u * u) / 2) / 2;
  const step = REACH / HALF;
  for (const way of [1, -1]) {
    let z = MIDDLE;
    table[HALF] = z;
    for (let i = 1; i <= HALF; i++) {
      const h = way * step;
      const u = way * (i - 1) * step;
      const k1 = slope(u, z);
      const k2 = slope(u + h / 2, z + (h / 2) * k1);
      const k3 = slope(u + h / 2, z + (h / 2) * k2);
      const k4 = slope(u + h, z + h * k3);
      z += (h / 6) * (k1 + 2 * k2 + 2 * k3 + k4);
      table[HALF + way * i] = Math.max(0, z);
    }
  }
}

/**
 * The size of a normal variable that is exceeded as often as `u` is by a normal variable: a smooth way from
 * a standard normal coordinate to a half normal one.
 * Shape:   any number -> 0 or more, rising
 * Method:  a table with straight lines between, from 6 deviations below to 6 above
 */
export function halfNormalAt(u: number): number {
  const at = Math.min(2 * HALF, Math.max(0, ((u + REACH) * HALF) / REACH));
  const i = Math.min(2 * HALF - 1, Math.floor(at));
  return table[i] + (at - i) * (table[i + 1] - table[i]);
}
