import type { Random } from '../../bench/random.ts';
import { adaptXyz } from '../../src/core/colour/adaptation.ts';
import { LIGHT_POWER } from '../../src/core/colour/cie.data.ts';
import { GRID_NM } from '../../src/core/colour/grid.ts';
import { xyzFromLab } from '../../src/core/colour/spaces.ts';
import type { Xyz } from '../../src/core/colour/triples.ts';
import { colourWeights, type LightName } from '../../src/core/colour/weights.ts';
import { CHART_VALUES, PATCH_NAMES } from '../../src/core/photo/chart-values.ts';
import { MARKER_CODES } from '../../src/core/photo/marker-codes.ts';
import { type PlaneView, type Point, pixelOf } from '../../src/core/photo/plane-view.ts';
import { CROSS_MM } from '../../src/core/photo/sheet-layout.ts';
import { leftBy } from './casters.ts';
import { CHART_SPECTRA, type Scene } from './scene.ts';

export interface Rendered {
  readonly width: number;
  readonly height: number;
  /** As stored in the file: 8 bit encoded, or 16 bit linear. */
  readonly codes: Uint8Array | Uint16Array;
  /** From mm on the sheet to pixels. */
  readonly view: PlaneView;
  /** Pixel centre of each patch of the chart, A1 to D6. */
  readonly patches: readonly Point[];
}

const CELLS_A_MM = 8;
export const CHART_PITCH_MM = 20;
const PATCH_MM = 17;
const TABLE = 255;

/** Materials of a raster: paper, ink, 24 patches, then tiles. */
const PAPER = 0;
const INK = 1;
const FIRST_PATCH = 2;
const FIRST_TILE = 26;

/** The scene as recorded by its camera. */
export function render(scene: Scene, random: Random): Rendered {
  const raster = rasterOf(scene);
  const materials = [
    Float64Array.from(GRID_NM, (nm) => 0.86 + 0.14 * Math.exp(-0.5 * ((nm - 440) / 14) ** 2)),
    new Float64Array(GRID_NM.length).fill(0.045),
    ...CHART_SPECTRA,
    ...scene.tiles.map(({ spectrum }) => spectrum),
  ];
  const table = Float64Array.from(GRID_NM, (nm) => 0.12 + (0.18 * (nm - 380)) / 350);
  const raw = scene.lights.map(({ name }) => ({
    materials: materials.map((m) => cameraRgb(scene, name, m)),
    table: cameraRgb(scene, name, table),
    white: cameraRgb(scene, name, new Float64Array(GRID_NM.length).fill(1)),
  }));
  const view = viewOf(scene);
  const { widthPx: width, heightPx: height } = scene;
  const light = new Float32Array(width * height * 3);
  const back = backwards(view);
  const here = new Float64Array(3);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      here.fill(0);
      for (const [dx, dy] of SUBPIXELS) {
        const [mx, my] = back(x + dx, y + dy);
        addLight(here, scene, raster, raw, mx, my);
      }
      const away = ((x - width / 2) ** 2 + (y - height / 2) ** 2) / view.reach ** 2;
      const fall = (1 - scene.vignette * away * 0.6) / SUBPIXELS.length;
      const at = (y * width + x) * 3;
      for (let c = 0; c < 3; c++) light[at + c] = here[c] * fall;
    }
  }
  for (let round = 0; round < scene.blur; round++) blur(light, width, height);
  const codes = developed(
    scene,
    light,
    raw.map(({ white }) => white),
    random,
  );
  return { width, height, codes, view, patches: patchCentres(scene).map((p) => pixelOf(view, p)) };
}

const SUBPIXELS: readonly Point[] = [
  [-0.25, -0.25],
  [0.25, 0.25],
];

function patchCentres({ layout, chart }: Scene): Point[] {
  if (chart === undefined || layout.chart === undefined) return [];
  const middle: Point = [
    layout.chart.at[0] + layout.chart.widthMm / 2 + chart.offset[0],
    layout.chart.at[1] + layout.chart.heightMm / 2 + chart.offset[1],
  ];
  const angle = (chart.turnDeg * Math.PI) / 180;
  return PATCH_NAMES.map((_, i) => {
    const x = ((i % 6) - 2.5) * CHART_PITCH_MM;
    const y = (Math.floor(i / 6) - 1.5) * CHART_PITCH_MM;
    return [
      middle[0] + x * Math.cos(angle) - y * Math.sin(angle),
      middle[1] + x * Math.sin(angle) + y * Math.cos(angle),
    ];
  });
}

interface Raster {
  readonly width: number;
  readonly height: number;
  readonly material: Uint8Array;
  /** Share of the light that dents and shadows leave, 0-255. */
  readonly shade: Uint8Array;
}

function rasterOf(scene: Scene): Raster {
  const { layout } = scene;
  const width = Math.round(layout.widthMm * CELLS_A_MM);
  const height = Math.round(layout.heightMm * CELLS_A_MM);
  const material = new Uint8Array(width * height);
  const shade = new Uint8Array(width * height).fill(255);
  const box = (x: number, y: number, w: number, h: number, value: number) => {
    for (let r = Math.round(y * CELLS_A_MM); r < Math.round((y + h) * CELLS_A_MM); r++) {
      for (let c = Math.round(x * CELLS_A_MM); c < Math.round((x + w) * CELLS_A_MM); c++) {
        if (r >= 0 && c >= 0 && r < height && c < width) material[r * width + c] = value;
      }
    }
  };
  /** Visits a rotated square, with its own coordinates in mm from its middle. */
  const turnedBox = (
    middle: Point,
    halfX: number,
    halfY: number,
    turn: number,
    paint: (index: number, u: number, v: number) => void,
  ) => {
    const reach = Math.hypot(halfX, halfY);
    const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
    const from = (m: number, end: number) =>
      Math.max(0, Math.min(end - 1, Math.round(m * CELLS_A_MM)));
    for (let r = from(middle[1] - reach, height); r <= from(middle[1] + reach, height); r++) {
      for (let c = from(middle[0] - reach, width); c <= from(middle[0] + reach, width); c++) {
        const dx = (c + 0.5) / CELLS_A_MM - middle[0];
        const dy = (r + 0.5) / CELLS_A_MM - middle[1];
        const u = dx * cos + dy * sin;
        const v = dy * cos - dx * sin;
        if (Math.abs(u) <= halfX && Math.abs(v) <= halfY) paint(r * width + c, u, v);
      }
    }
  };
  for (const { id, at, sideMm } of layout.markers) {
    box(at[0], at[1], sideMm, sideMm, INK);
    const cell = sideMm / 8;
    for (let bit = 0; bit < 36; bit++) {
      if (Math.floor(MARKER_CODES[id] / 2 ** (35 - bit)) % 2 === 0) continue;
      box(
        at[0] + (1 + (bit % 6)) * cell,
        at[1] + (1 + Math.floor(bit / 6)) * cell,
        cell,
        cell,
        PAPER,
      );
    }
  }
  for (const { at, heightMm } of layout.printed) {
    box(at[0], at[1], 0.5, heightMm, INK);
    for (let mm = 0; mm <= heightMm; mm += 5) box(at[0], at[1] + mm, 4, 0.3, INK);
  }
  for (const { centre } of layout.places) {
    const { arm, width: thick } = CROSS_MM;
    box(centre[0] - arm, centre[1] - thick / 2, 2 * arm, thick, INK);
    box(centre[0] - thick / 2, centre[1] - arm, thick, 2 * arm, INK);
  }
  if (scene.chart !== undefined) {
    const centres = patchCentres(scene);
    const turn = (scene.chart.turnDeg * Math.PI) / 180;
    const middle: Point = [
      (centres[0][0] + centres[23][0]) / 2,
      (centres[0][1] + centres[23][1]) / 2,
    ];
    turnedBox(middle, 62, 43, turn, (index) => {
      material[index] = INK;
    });
    centres.forEach((centre, i) => {
      turnedBox(centre, PATCH_MM / 2, PATCH_MM / 2, turn, (index) => {
        material[index] = FIRST_PATCH + i;
      });
    });
  }
  scene.tiles.forEach((tile, i) => {
    const place = layout.places.find(({ name }) => name === tile.place)!;
    const middle: Point = [place.centre[0] + tile.offset[0], place.centre[1] + tile.offset[1]];
    const half = tile.sideMm / 2;
    // The shadow that a tile casts on the paper beside it.
    turnedBox([middle[0] + 0.8, middle[1] + 0.8], half + 0.5, half + 0.5, tile.turn, (index) => {
      shade[index] = 190;
    });
    turnedBox(middle, half, half, tile.turn, (index, u, v) => {
      if (tile.round && Math.hypot(u, v) > half) return;
      material[index] = FIRST_TILE + i;
      const edge = tile.round ? half - Math.hypot(u, v) : half - Math.max(Math.abs(u), Math.abs(v));
      shade[index] = edge < 0.8 ? 225 : 255;
      if (tile.stamped && isStamp(u, v)) shade[index] = 170;
    });
  });
  return { width, height, material, shade };
}

/** Three letters pressed in, about the size of stamp letters. */
function isStamp(u: number, v: number): boolean {
  if (Math.abs(v) > 2.5) return false;
  const x = u + 6;
  const letter = Math.floor(x / 4);
  if (letter < 0 || letter > 2) return false;
  const at = x - letter * 4;
  return (
    at < 0.5 ||
    (at < 2.5 && Math.abs(v - (letter - 1) * 1.5) < 0.25) ||
    (letter === 1 && at > 2 && at < 2.5)
  );
}

interface RawLight {
  readonly materials: readonly Xyz[];
  readonly table: Xyz;
  readonly white: Xyz;
}

function addLight(
  out: Float64Array,
  scene: Scene,
  raster: Raster,
  raw: readonly RawLight[],
  mx: number,
  my: number,
): void {
  const { layout, shadow } = scene;
  const c = Math.floor(mx * CELLS_A_MM);
  const r = Math.floor(my * CELLS_A_MM);
  const { hand } = scene;
  if (hand !== undefined && Math.hypot(mx - hand.at[0], my - hand.at[1]) < hand.reachMm) {
    for (let l = 0; l < raw.length; l++) {
      // Skin, closely enough: the chart has a patch of it.
      const skin = raw[l].materials[FIRST_PATCH + 1];
      for (let k = 0; k < 3; k++) out[k] += scene.lights[l].share * skin[k];
    }
    return;
  }
  const on = c >= 0 && r >= 0 && c < raster.width && r < raster.height;
  const index = r * raster.width + c;
  const material = on ? raster.material[index] : TABLE;
  let shade = on ? raster.shade[index] / 255 : 1;
  if (shadow !== undefined) {
    const angle = (shadow.angleDeg * Math.PI) / 180;
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
    const along = (my - shadow.at[1]) * cos - (mx - shadow.at[0]) * sin;
    const into =
      (mx - shadow.at[0]) * cos +
      (my - shadow.at[1]) * sin -
      ((shadow.bulgePerMm ?? 0) * along * along) / 2;
    shade *= 1 - shadow.depth / (1 + Math.exp(-into / (shadow.softMm ?? 4)));
  }
  for (const caster of scene.casters ?? []) shade *= leftBy(caster, mx, my);
  const gx = (mx / layout.widthMm - 0.5) * 2;
  const gy = (my / layout.heightMm - 0.5) * 2;
  let gloss = 0;
  if (on && material >= FIRST_TILE) {
    const tile = scene.tiles[material - FIRST_TILE];
    const place = layout.places.find(({ name }) => name === tile.place)!;
    const [strength, x, y, size] = tile.gloss;
    const d = Math.hypot(
      mx - place.centre[0] - tile.offset[0] - x,
      my - place.centre[1] - tile.offset[1] - y,
    );
    gloss = strength * Math.exp(-0.5 * (d / size) ** 2);
  }
  for (let l = 0; l < raw.length; l++) {
    const { share, slope } = scene.lights[l];
    const e = share * shade * Math.exp(slope[0] * gx + slope[1] * gy - 0.05 * (gx * gx + gy * gy));
    const rgb = on ? raw[l].materials[material] : raw[l].table;
    for (let k = 0; k < 3; k++) out[k] += e * (rgb[k] + gloss * raw[l].white[k]);
  }
}

/** Camera channels of a reflectance under a light, before any balance. */
function cameraRgb(scene: Scene, light: LightName, reflectance: Float64Array): Xyz {
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

function blur(light: Float32Array, width: number, height: number): void {
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

function developed(
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

/** A camera over the sheet, turned and tilted. */
function viewOf(scene: Scene): PlaneView {
  const { layout, pose, widthPx, heightPx } = scene;
  const turn = (pose.turnDeg * Math.PI) / 180;
  const tilt = (pose.tiltDeg * Math.PI) / 180;
  const towards = (pose.tiltTowardsDeg * Math.PI) / 180;
  const [ct, st] = [Math.cos(turn), Math.sin(turn)];
  // Perspective: points towards the tilt are nearer by their height over a distance of two sheets.
  const distance = 2 * layout.heightMm;
  const px = (Math.sin(tilt) * Math.cos(towards)) / distance;
  const py = (Math.sin(tilt) * Math.sin(towards)) / distance;
  const squash = Math.cos(tilt);
  const [ca, sa] = [Math.cos(towards), Math.sin(towards)];
  const affine = (x: number, y: number): Point => {
    // Compressed along the tilt, then rotated.
    const along = (x * ca + y * sa) * squash;
    const across = -x * sa + y * ca;
    const u = along * ca - across * sa;
    const v = along * sa + across * ca;
    return [u * ct - v * st, u * st + v * ct];
  };
  const [a, d] = affine(1, 0);
  const [b, e] = affine(0, 1);
  const project = (scale: number): number[] => {
    const w = layout.widthMm / 2;
    const h = layout.heightMm / 2;
    const core = [a * scale, b * scale, 0, d * scale, e * scale, 0, px, py, 1];
    const shifted = [0, 1, 2].flatMap((r) => {
      const [p, q, s] = core.slice(3 * r, 3 * r + 3);
      return [p, q, s - p * w - q * h];
    });
    const [p, q, s] = shifted.slice(6);
    return [
      ...[0, 1, 2].map((k) => shifted[k] + (widthPx / 2) * [p, q, s][k]),
      ...[0, 1, 2].map((k) => shifted[3 + k] + (heightPx / 2) * [p, q, s][k]),
      p,
      q,
      s,
    ];
  };
  const reach = Math.max(widthPx, heightPx) / 2;
  const viewAt = (scale: number): PlaneView => ({
    perspective: project(scale),
    middle: [widthPx / 2, heightPx / 2],
    reach,
    bend: pose.bend,
  });
  const corners: Point[] = [
    [0, 0],
    [layout.widthMm, 0],
    [0, layout.heightMm],
    [layout.widthMm, layout.heightMm],
  ];
  const extent = (scale: number) =>
    Math.max(
      ...corners.map((corner) => {
        const [x, y] = pixelOf(viewAt(scale), corner);
        return Math.max(Math.abs(x / widthPx - 0.5), Math.abs(y / heightPx - 0.5)) * 2;
      }),
    );
  let [low, high] = [0.1, 100];
  for (let step = 0; step < 40; step++) {
    const middle = Math.sqrt(low * high);
    if (extent(middle) > pose.fill) high = middle;
    else low = middle;
  }
  return viewAt(low);
}

function backwards(view: PlaneView): (x: number, y: number) => Point {
  const m = view.perspective;
  const minor = (r: number, c: number) => {
    const [r1, r2] = [(r + 1) % 3, (r + 2) % 3];
    const [c1, c2] = [(c + 1) % 3, (c + 2) % 3];
    return m[3 * r1 + c1] * m[3 * r2 + c2] - m[3 * r1 + c2] * m[3 * r2 + c1];
  };
  const inverse = Array.from({ length: 9 }, (_, i) => minor(i % 3, Math.floor(i / 3)));
  return (x, y) => {
    const dx = x - view.middle[0];
    const dy = y - view.middle[1];
    let stretch = 1;
    for (let round = 0; round < 4; round++) {
      const ux = dx / stretch;
      const uy = dy / stretch;
      stretch = 1 + (view.bend * (ux * ux + uy * uy)) / view.reach ** 2;
    }
    const ux = view.middle[0] + dx / stretch;
    const uy = view.middle[1] + dy / stretch;
    const w = inverse[6] * ux + inverse[7] * uy + inverse[8];
    return [
      (inverse[0] * ux + inverse[1] * uy + inverse[2]) / w,
      (inverse[3] * ux + inverse[4] * uy + inverse[5]) / w,
    ];
  };
}
