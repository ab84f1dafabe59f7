/** Two lists of one length walked together. Shape: the longer one is cut to the shorter. */
export function pairs<A, B>(
  ones: readonly A[],
  others: readonly B[],
): (readonly [one: A, other: B])[] {
  return ones.slice(0, others.length).map((one, i) => [one, others[i]]);
}

/** Every value but the first, with the value before it. */
export function withBefore<T>(values: readonly T[]): (readonly [value: T, before: T])[] {
  return pairs(values.slice(1), values);
}

/** What has this place in a list. A place outside the list is a fault of the program: RangeError. */
export function itemAt<T>(list: readonly T[], place: number): T {
  if (place in list) return list[place];
  throw new RangeError(`a list of ${list.length} has no place ${place}`);
}
