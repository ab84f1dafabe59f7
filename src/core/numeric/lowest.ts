/** The places with the lowest values, the lowest first. */
export function lowest(
  length: number,
  most: number,
  worthAt: (at: number) => number,
): readonly number[] {
  const found: { readonly at: number; readonly value: number }[] = [];
  let limit = Number.POSITIVE_INFINITY;
  const cutBack = () => {
    found.sort((one, other) => one.value - other.value || one.at - other.at);
    found.length = Math.min(most, found.length);
  };
  for (let at = 0; at < length; at++) {
    const value = worthAt(at);
    if (value >= limit) continue;
    found.push({ at, value });
    if (found.length < 4 * most) continue;
    cutBack();
    limit = found[most - 1].value;
  }
  cutBack();
  return found.map(({ at }) => at);
}
