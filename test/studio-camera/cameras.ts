import { BANDS, GRID_NM } from '../../src/core/colour/grid.ts';

/** Response of a camera to each band of the grid: red, green, blue. */
export interface CameraShape {
  readonly name: string;
  /** Not used while the reading of photos was developed, only for the final check. */
  readonly heldOut: boolean;
  readonly sensitivity: readonly (readonly number[])[];
}

/**
 * Measured by the National Physical Laboratory: M. M. Darrodi, G. Finlayson, T. Goodman, M. Mackiewicz,
 * "Reference data set for camera spectral sensitivity estimation", J. Opt. Soc. Am. A 32, 381 (2015),
 * through colour-science/colour (BSD-3-Clause), rounded to four digits: a still camera with a colour
 * mosaic, 380-730 nm, and one with three layers, 400-680 nm.
 */
const MOSAIC = [
  [
    0.0016, 0, 0, 0.0029, 0.0496, 0.0766, 0.0613, 0.0489, 0.0402, 0.0476, 0.0528, 0.0479, 0.0502,
    0.0637, 0.1004, 0.1236, 0.0763, 0.0412, 0.0425, 0.1118, 0.5645, 0.981, 0.9631, 0.8343, 0.7037,
    0.5708, 0.4383, 0.343, 0.2377, 0.0913, 0.0206, 0.0054, 0.0013, 0.0005, 0.0002, 0,
  ],
  [
    0.0001, 0.0006, 0, 0.0013, 0.065, 0.1371, 0.1686, 0.196, 0.2542, 0.3735, 0.4597, 0.4889, 0.6165,
    0.801, 0.9389, 1, 0.9615, 0.8891, 0.7763, 0.6358, 0.4928, 0.3518, 0.2117, 0.118, 0.0701, 0.0473,
    0.0353, 0.0268, 0.0203, 0.0094, 0.0029, 0.0009, 0.0004, 0.0003, 0.0002, 0,
  ],
  [
    0.0018, 0.0009, 0.0015, 0.0166, 0.3617, 0.7553, 0.8749, 0.9631, 1, 0.989, 0.905, 0.7515, 0.5671,
    0.3941, 0.2498, 0.1616, 0.11, 0.0653, 0.0341, 0.0198, 0.0138, 0.01, 0.0065, 0.0037, 0.004,
    0.004, 0.0055, 0.006, 0.0061, 0.003, 0.0008, 0.0003, 0.0002, 0.0004, 0, 0.0003,
  ],
];

const LAYERED = [
  [
    0, 0, 0.0056, 0.0065, 0.0741, 0.043, 0.0345, 0.0189, 0.0073, 0.0455, 0.0568, 0.1342, 0.1648,
    0.2171, 0.3065, 0.3498, 0.4437, 0.4449, 0.479, 0.5095, 0.5926, 0.6738, 0.714, 0.86, 0.8981, 1,
    0.9949, 0.9209, 0.1814, 0.0063, 0.0053, 0, 0, 0, 0, 0,
  ],
  [
    0, 0, 0.0063, 0.0098, 0.0253, 0.0838, 0.1437, 0.1836, 0.4091, 0.516, 0.6012, 0.6703, 0.7526,
    0.8438, 0.9015, 0.9198, 0.968, 0.9573, 0.952, 0.9763, 0.9726, 1, 0.9695, 0.9544, 0.9334, 0.9257,
    0.8849, 0.7617, 0.1405, 0.0041, 0.0018, 0, 0, 0, 0, 0,
  ],
  [
    0, 0, 0.1622, 0.2855, 0.3969, 0.5083, 0.6221, 0.7374, 0.9454, 0.9644, 1, 0.986, 0.9834, 0.9697,
    0.9428, 0.8966, 0.8844, 0.8679, 0.8338, 0.832, 0.8005, 0.7829, 0.7395, 0.6672, 0.6204, 0.6111,
    0.5517, 0.4654, 0.0796, 0.0006, 0.0047, 0, 0, 0, 0, 0,
  ],
];

/** Bell with its own width on either side. */
function bell(peakNm: number, shortNm: number, longNm: number, height = 1) {
  return (nm: number) =>
    height * Math.exp(-0.5 * ((nm - peakNm) / (nm < peakNm ? shortNm : longNm)) ** 2);
}

/** Smooth shapes typical of colour mosaics: bells, crosstalk, and a filter against infrared. */
function smooth(
  name: string,
  channels: readonly (readonly ((nm: number) => number)[])[],
  floor: number,
  cutNm: number,
  heldOut = false,
): CameraShape {
  const cut = (nm: number) => 1 / (1 + Math.exp((nm - cutNm) / 8));
  return {
    name,
    heldOut,
    sensitivity: channels.map((bells) =>
      GRID_NM.map((nm) => (floor + bells.reduce((sum, at) => sum + at(nm), 0)) * cut(nm)),
    ),
  };
}

export const CAMERAS: readonly CameraShape[] = [
  smooth(
    'narrow bells',
    [[bell(605, 30, 32)], [bell(535, 32, 32)], [bell(455, 24, 26)]],
    0.005,
    680,
  ),
  smooth('wide bells', [[bell(600, 42, 50)], [bell(535, 45, 48)], [bell(460, 32, 36)]], 0.02, 665),
  smooth(
    'red with a blue tail',
    [[bell(610, 28, 45), bell(435, 20, 25, 0.12)], [bell(525, 38, 40)], [bell(450, 22, 34)]],
    0.02,
    690,
  ),
  smooth(
    'early red',
    [[bell(590, 24, 48)], [bell(540, 50, 34)], [bell(470, 36, 22), bell(540, 30, 30, 0.08)]],
    0.03,
    655,
  ),
  smooth(
    'pocket telephone',
    [
      [bell(602, 22, 42), bell(530, 25, 20, 0.14), bell(430, 20, 30, 0.08)],
      [bell(532, 36, 38), bell(630, 30, 30, 0.12)],
      [bell(458, 26, 28), bell(535, 30, 30, 0.15)],
    ],
    0.015,
    660,
  ),
  { name: 'measured layers', heldOut: false, sensitivity: LAYERED },
  { name: 'measured mosaic', heldOut: true, sensitivity: MOSAIC },
  smooth(
    'late green',
    [[bell(615, 34, 38), bell(460, 30, 30, 0.05)], [bell(545, 36, 44)], [bell(448, 20, 30)]],
    0.01,
    672,
    true,
  ),
];

if (CAMERAS.some(({ sensitivity }) => sensitivity.some((s) => s.length !== BANDS))) {
  throw new Error('a camera has another number of bands than the grid');
}
