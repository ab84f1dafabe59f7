/** Two lists of one length walked together. Shape: the longer one is cut to the shorter. */
export function pairs<A, B>(
  ones: readonly A[],
  others: readonly B[],
): (readonly [one: A, other: B])[] {
  return ones.slice(0, others.length).map((one, i) => [one, others[i]]);
}
