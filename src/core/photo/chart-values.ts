import type { Lab } from '../colour/triples.ts';

export const CHART_COLUMNS = 6;
export const CHART_ROWS = 4;

/** A1 to D6: rows from the top, columns from the left, with the greys in the bottom row. */
export const PATCH_NAMES: readonly string[] = [...'ABCD'].flatMap((row) =>
  [1, 2, 3, 4, 5, 6].map((column) => `${row}${column}`),
);

export type ChartEdition = 'before 2014' | 'from 2014';

/**
 * CIELAB, D50 and 2 degree, of the usual chart of 24 patches, A1 to D6, by edition: published in
 * its data sheets for charts made before and from November 2014.
 * Limits:  single charts differ; the mean of 30 older ones is 0.5 dE00 from the older values
 * Source:  [ChartSheets2016]; oracle test/oracles/colour/lab-d50-published.csv
 */
export const CHART_VALUES: Readonly<Record<ChartEdition, readonly Lab[]>> = {
  'before 2014': [
    [37.986, 13.555, 14.059],
    [65.711, 18.13, 17.81],
    [49.927, -4.88, -21.905],
    [43.139, -13.095, 21.905],
    [55.112, 8.844, -25.399],
    [70.719, -33.397, -0.199],
    [62.661, 36.067, 57.096],
    [40.02, 10.41, -45.964],
    [51.124, 48.239, 16.248],
    [30.325, 22.976, -21.587],
    [72.532, -23.709, 57.255],
    [71.941, 19.363, 67.857],
    [28.778, 14.179, -50.297],
    [55.261, -38.342, 31.37],
    [42.101, 53.378, 28.19],
    [81.733, 4.039, 79.819],
    [51.935, 49.986, -14.574],
    [51.038, -28.631, -28.638],
    [96.539, -0.425, 1.186],
    [81.257, -0.638, -0.335],
    [66.766, -0.734, -0.504],
    [50.867, -0.153, -0.27],
    [35.656, -0.421, -1.231],
    [20.461, -0.079, -0.973],
  ],
  'from 2014': [
    [37.54, 14.37, 14.92],
    [64.66, 19.27, 17.5],
    [49.32, -3.82, -22.54],
    [43.46, -12.74, 22.72],
    [54.94, 9.61, -24.79],
    [70.48, -32.26, -0.37],
    [62.73, 35.83, 56.5],
    [39.43, 10.75, -45.17],
    [50.57, 48.64, 16.67],
    [30.1, 22.54, -20.87],
    [71.77, -24.13, 58.19],
    [71.51, 18.24, 67.37],
    [28.37, 15.42, -49.8],
    [54.38, -39.72, 32.27],
    [42.43, 51.05, 28.62],
    [81.8, 2.67, 80.41],
    [50.63, 51.28, -14.12],
    [49.57, -29.71, -28.32],
    [95.19, -1.03, 2.93],
    [81.29, -0.57, 0.44],
    [66.89, -0.75, -0.06],
    [50.76, -0.13, 0.14],
    [35.63, -0.46, -0.48],
    [20.64, 0.07, -0.46],
  ],
};
