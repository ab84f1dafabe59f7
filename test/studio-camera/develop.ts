import type { Random } from '../../bench/random.ts';
import { adaptXyz } from '../../src/core/colour/adaptation.ts';
import { LIGHT_POWER } from '../../src/core/colour/cie.data.ts';
import { GRID_NM } from '../../src/core/colour/grid.ts';
import { xyzFromLab } from '../../src/core/colour/spaces.ts';
import type { Xyz } from '../../src/core/colour/triples.ts';
import { colourWeights, type LightName } from '../../src/core/colour/weights.ts';
import { CHART_VALUES } from '../../src/core/photo/chart-values.ts';
import { CHART_SPECTRA, type Scene } from './scene.ts';

/** Camera channels of a reflectance under a light, before any balance. */
export function cameraRgb(scene: Scene, light: LightName, reflectance: Float64Array): Xyz {
  const power = LIGHT_POWER[light];
  const out = [0, 0, 0];
  let total = 0;
  // 5 nm from 380 to 730, because lines of lamps are between the bands of the grid.
  for (let i = 0; i <= 70; i++) {
    const at = i / 2;
    const below = Math.floor(at);
    const above = Math.min(GRID_NM.length - 1, below + 1);
    const mid = at - below;
    const r = reflectance[below] * (1 - mid) + reflectance[above] * mid;
    total += power[i];
    for (let c = 0; c < 3; c++) {
      const s = scene.camera.sensitivity[c];
      out[c] += power[i] * r * (s[below] * (1 - mid) + s[above] * mid);
    }
  }
  return [out[0] / total, out[1] / total, out[2] / total];
}

export function blur(light: Float32Array, width: number, height: number): void {
  const row = new Float32Array(Math.max(width, height));
  const along = (start: number, step: number, count: number) => {
    for (let i = 0; i < count; i++) row[i] = light[start + i * step];
    for (let i = 1; i < count - 1; i++) {
      light[start + i * step] = (row[i - 1] + 2 * row[i] + row[i + 1]) / 4;
    }
  };
  for (let c = 0; c < 3; c++) {
    for (let y = 0; y < height; y++) along(y * width * 3 + c, 3, width);
    for (let x = 0; x < width; x++) along(x * 3 + c, width * 3, height);
  }
}

/** Linear sRGB and Display P3 from XYZ D65, [CSSColor4]. */
const TO_SRGB = [
  3.2409699419045213, -1.5373831775700935, -0.4986107602930033, -0.9692436362808798,
  1.8759675015077206, 0.04155505740717561, 0.05563007969699361, -0.20397695888897657,
  1.0569715142428786,
];
const TO_P3 = [
  2.493496911941425, -0.9313836179191239, -0.40271078445071684, -0.8294889695615747,
  1.7626640603183463, 0.023624685841943577, 0.03584583024378447, -0.07617238926804182,
  0.9568845240076872,
];

export function developed(
  scene: Scene,
  light: Float32Array,
  whites: readonly Xyz[],
  random: Random,
): Uint8Array | Uint16Array {
  const white = [0, 1, 2].map((c) =>
    whites.reduce((sum, w, l) => sum + scene.lights[l].share * w[c], 0),
  );
  const gain = [
    (1 + scene.balanceError[0]) / white[0],
    1 / white[1],
    (1 + scene.balanceError[1]) / white[2],
  ];
  const mean = [0, 0, 0];
  for (let i = 0; i < light.length; i++) mean[i % 3] += (light[i] * 3) / light.length;
  const bell = Float32Array.from({ length: 65536 }, () => random.normal());
  const matrix = scene.output === 'linear' ? undefined : developMatrix(scene, gain);
  const out =
    scene.output === 'linear' ? new Uint16Array(light.length) : new Uint8Array(light.length);
  // By the root, so that the dark end has as many steps as the pale one.
  const curve = Float32Array.from({ length: 4096 }, (_, i) =>
    Math.round(255 * toned((i / 4095) ** 2, scene.contrast)),
  );
  const v = [0, 0, 0];
  let at = random.whole(0, 65535);
  for (let i = 0; i < light.length; i += 3) {
    for (let c = 0; c < 3; c++) {
      const clean = scene.exposure * gain[c] * (light[i + c] + scene.flare * mean[c]);
      at = (at * 69069 + 12345) & 65535;
      v[c] = clean + scene.noise * Math.sqrt(Math.max(0, clean) * 0.5 + 0.003) * bell[at];
      v[c] = Math.min(1, Math.max(0, v[c]));
    }
    for (let c = 0; c < 3; c++) {
      if (matrix === undefined) {
        out[i + c] = Math.round(65535 * v[c]);
        continue;
      }
      const m = matrix[3 * c] * v[0] + matrix[3 * c + 1] * v[1] + matrix[3 * c + 2] * v[2];
      out[i + c] = curve[Math.min(4095, Math.max(0, Math.round(4095 * Math.sqrt(Math.max(0, m)))))];
    }
  }
  return out;
}

/** sRGB curve, then a contrast curve as in cameras; of another family than the one fitted. */
function toned(linear: number, contrast: number): number {
  const held = Math.min(1, Math.max(0, linear));
  const e = held <= 0.0031308 ? held * 12.92 : 1.055 * held ** (1 / 2.4) - 0.055;
  const up = e ** contrast;
  return up / (up + (1 - e) ** contrast);
}

/** The camera's own matrix to its output space: least squares over a chart, with white fixed. */
function developMatrix(scene: Scene, gain: readonly number[]): number[] {
  const d65 = colourWeights('D65', 2).white;
  const d50 = colourWeights('D50', 2).white;
  const to = scene.output === 'sRGB' ? TO_SRGB : TO_P3;
  const wanted = CHART_VALUES['before 2014'].map((lab) => {
    const xyz = adaptXyz(xyzFromLab(lab, d50), d50, d65);
    return [0, 1, 2].map(
      (r) => to[3 * r] * xyz[0] + to[3 * r + 1] * xyz[1] + to[3 * r + 2] * xyz[2],
    );
  });
  const seen = CHART_SPECTRA.map((spectrum) => {
    const sum = [0, 0, 0];
    for (const { name, share } of scene.lights) {
      const rgb = cameraRgb(scene, name, spectrum);
      for (let c = 0; c < 3; c++) sum[c] += share * rgb[c] * gain[c];
    }
    return sum;
  });
  // With white fixed each row sums to one, so a row has two unknowns.
  return [0, 1, 2].flatMap((r) => {
    const [i, j] = [0, 1, 2].filter((c) => c !== r);
    let [aa, ab, bb, ay, by] = [1e-4, 0, 1e-4, 0, 0];
    seen.forEach((s, k) => {
      const a = s[i] - s[r];
      const b = s[j] - s[r];
      const y = wanted[k][r] - s[r];
      aa += a * a;
      ab += a * b;
      bb += b * b;
      ay += a * y;
      by += b * y;
    });
    const determinant = aa * bb - ab * ab;
    const p = (ay * bb - by * ab) / determinant;
    const q = (by * aa - ay * ab) / determinant;
    const row = [0, 0, 0];
    row[i] = p;
    row[j] = q;
    row[r] = 1 - p - q;
    return row;
  });
}
