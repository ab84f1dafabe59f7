/** Steps of the whole numbers in a share file. */
export const SHARE_STEPS = {
  shape: 1e-4,
  weight: 2.5e-4,
  mode: 2e-3,
  correlation: 1e-2,
  departure: 1e-4,
} as const;
