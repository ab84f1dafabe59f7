import type { Random } from '../../bench/random.ts';
import { GRID_NM } from '../../src/core/colour/grid.ts';
import type { Xyz } from '../../src/core/colour/triples.ts';
import { PATCH_NAMES } from '../../src/core/photo/chart-values.ts';
import { MARKER_CODES } from '../../src/core/photo/marker-codes.ts';
import { type PlaneView, type Point, pixelOf } from '../../src/core/photo/plane-view.ts';
import { CROSS_MM } from '../../src/core/photo/sheet-layout.ts';
import { leftBy } from './casters.ts';
import { outsideOf } from './clutter.ts';
import { blur, cameraRgb, developed } from './develop.ts';
import { CHART_SPECTRA, type Scene, type TileInScene } from './scene.ts';
import { tableTop } from './table-top.ts';
import { backwards, viewOf } from './view-of.ts';

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

/**
 * Materials of a raster: paper, ink, 24 patches, then tiles, then what else lies there; the table
 * where there is no paper.
 */
const PAPER = 0;
const INK = 1;
const FIRST_PATCH = 2;
const FIRST_TILE = 26;
const BARE_TABLE = 255;

/** The scene as recorded by its camera. */
export function render(scene: Scene, random: Random): Rendered {
  const raster = rasterOf(scene);
  const materials = [
    Float64Array.from(GRID_NM, (nm) => 0.86 + 0.14 * Math.exp(-0.5 * ((nm - 440) / 14) ** 2)),
    new Float64Array(GRID_NM.length).fill(0.045),
    ...(scene.chart?.spectra ?? CHART_SPECTRA),
    ...scene.tiles.map(({ spectrum }) => spectrum),
    ...(scene.clutter ?? []).map(({ spectrum }) => spectrum),
  ];
  const plain = Float64Array.from(GRID_NM, (nm) => 0.12 + (0.18 * (nm - 380)) / 350);
  const top = scene.table === undefined ? undefined : tableTop(scene.table.name, scene.table.seed);
  const raw = scene.lights.map(({ name }) => ({
    materials: materials.map((m) => cameraRgb(scene, name, m)),
    table: (top?.materials ?? [plain, plain]).map((m) => cameraRgb(scene, name, m)),
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
        addLight(here, scene, raster, raw, mx, my, top?.mixAt);
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
  const material = new Uint8Array(width * height).fill(
    scene.table === undefined ? PAPER : BARE_TABLE,
  );
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
  const paper = scene.table?.paper;
  if (paper !== undefined) box(paper.at[0], paper.at[1], paper.widthMm, paper.heightMm, PAPER);
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
  for (const { centre } of layout.crosses ? layout.places : []) {
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
    const middle = middleOf(scene, tile);
    const half = tile.sideMm / 2;
    // The shadow that a tile casts on the paper beside it.
    const cast: Point = [middle[0] + 0.8, middle[1] + 0.8];
    turnedBox(cast, half + 0.5, half + 0.5, tile.turn, (index, u, v) => {
      if (!tile.round || Math.hypot(u, v) <= half + 0.5) shade[index] = 190;
    });
    turnedBox(middle, half, half, tile.turn, (index, u, v) => {
      if (tile.round && Math.hypot(u, v) > half) return;
      material[index] = FIRST_TILE + i;
      const edge = tile.round ? half - Math.hypot(u, v) : half - Math.max(Math.abs(u), Math.abs(v));
      shade[index] = edge < 0.8 ? 225 : 255;
      if (tile.stamped && isStamp(u, v)) shade[index] = 170;
    });
  });
  (scene.clutter ?? []).forEach(({ parts }, k) => {
    const value = FIRST_TILE + scene.tiles.length + k;
    for (const part of parts) {
      const { from, to, radiusMm } = part;
      const [halfX, halfY] = [0, 1].map((at) => Math.abs(to[at] - from[at]) / 2 + radiusMm + 2);
      const middle: Point = [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2];
      turnedBox(middle, halfX, halfY, 0, (index, u, v) => {
        const away = outsideOf(part, middle[0] + u, middle[1] + v);
        if (away < 0) material[index] = value;
      });
      // Round things are darker at their sides, and cast a shadow beside them.
      turnedBox(middle, halfX, halfY, 0, (index, u, v) => {
        const away = Math.min(...parts.map((one) => outsideOf(one, middle[0] + u, middle[1] + v)));
        if (away > 1.5) return;
        const left = away > 0 ? 190 : Math.round(255 + 12 * Math.max(-6, away));
        shade[index] = Math.min(shade[index], left);
      });
    }
  });
  return { width, height, material, shade };
}

/** Where a tile is: on its place, or anywhere on the table. */
export function middleOf({ layout }: Scene, { place, at, offset }: TileInScene): Point {
  const centre = at ?? layout.places.find(({ name }) => name === place)!.centre;
  return [centre[0] + offset[0], centre[1] + offset[1]];
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

/** A hand reaches in from outside the board. */
function besideBoard({ tiles, clutter = [] }: Scene, x: number, y: number): number {
  const k = clutter.findIndex(({ parts }) => parts.some((part) => outsideOf(part, x, y) < 0));
  return k < 0 ? BARE_TABLE : FIRST_TILE + tiles.length + k;
}

interface RawLight {
  readonly materials: readonly Xyz[];
  readonly table: readonly Xyz[];
  readonly white: Xyz;
}

function addLight(
  out: Float64Array,
  scene: Scene,
  raster: Raster,
  raw: readonly RawLight[],
  mx: number,
  my: number,
  mixAt: ((x: number, y: number) => number) | undefined,
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
  const material = on ? raster.material[index] : besideBoard(scene, mx, my);
  const mix = material === BARE_TABLE ? (mixAt?.(mx, my) ?? 0) : 0;
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
  const tile = scene.tiles[material - FIRST_TILE];
  if (tile !== undefined) {
    const middle = middleOf(scene, tile);
    const [strength, x, y, size] = tile.gloss;
    const d = Math.hypot(mx - middle[0] - x, my - middle[1] - y);
    gloss = strength * Math.exp(-0.5 * (d / size) ** 2);
  }
  for (let l = 0; l < raw.length; l++) {
    const { share, slope } = scene.lights[l];
    const e = share * shade * Math.exp(slope[0] * gx + slope[1] * gy - 0.05 * (gx * gx + gy * gy));
    const [one, other] =
      material === BARE_TABLE ? raw[l].table : [raw[l].materials[material], raw[l].white];
    for (let k = 0; k < 3; k++) {
      out[k] += e * (one[k] + mix * (other[k] - one[k]) + gloss * raw[l].white[k]);
    }
  }
}
