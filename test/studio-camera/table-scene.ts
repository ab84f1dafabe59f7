import type { Random } from '../../bench/random.ts';
import {
  type PaperName,
  type SheetLayout,
  traySheetLayout,
} from '../../src/core/photo/sheet-layout.ts';
import { CAMERAS } from './cameras.ts';
import type { Caster } from './casters.ts';
import { randomClutter } from './clutter.ts';
import {
  CHART_SPECTRA_HELD_OUT,
  labOf,
  likeBefore,
  paintedTile,
  randomScene,
  type Scene,
  type TileInScene,
} from './scene.ts';
import type { TableName } from './table-top.ts';

/** How the light falls over the table. */
export const TABLE_LIGHTS = ['clear', 'gradient', 'shadow'] as const;
export type TableLight = (typeof TABLE_LIGHTS)[number];

export interface TableChoice {
  readonly table: TableName;
  readonly light: TableLight;
  readonly tiles: number;
  readonly arrangement: 'scattered' | 'touching';
  /** Nothing else, a chart beside the tiles, or a printed sheet with a chart, tiles beside it. */
  readonly beside: 'nothing' | 'chart' | 'sheet';
  /** Cameras, a chart and shapes of shadows that were not used in development; name the table yourself. */
  readonly heldOut?: boolean;
  /** Half of the tiles resemble the one before: raw beside baked, or one step of a ladder. */
  readonly pairs?: boolean;
  /** A hand, cutlery and tools beside the tiles. */
  readonly clutter?: boolean;
  /** Dark tiles with a broad highlight. */
  readonly darkAndGlossy?: boolean;
}

const BOARD_MM = [400, 300] as const;
const SHEET_AT = [15, 15] as const;
/** Half of a chart, with its frame. */
const CHART_HALF = [62, 43] as const;
const MARGIN_MM = 18;

type At = readonly [number, number];

/** Tiles on a table as a user might photograph them; the same seed gives the same scene. */
export function tableScene(random: Random, choice: TableChoice): Scene {
  const even = (span: number) => (random.uniform() * 2 - 1) * span;
  const sheet = choice.beside === 'sheet' ? traySheetLayout('A4' satisfies PaperName) : undefined;
  const layout = sheet === undefined ? bareBoard() : boardAround(sheet);
  const onSheet = randomScene(random, random.uniform() < 0.5 ? 'D65' : 'LED-B3');
  const chart = choice.beside === 'chart' ? chartOn(layout, random) : undefined;
  const spots = placesFor(random, layout, choice, (at, reach) =>
    sheet !== undefined
      ? at[0] > SHEET_AT[0] + sheet.widthMm + 5 + reach
      : chart === undefined || apartFrom(chart, at, reach),
  );
  let before: Float64Array | undefined;
  const made = spots.map(({ at, sideMm, turn }, i): TileInScene => {
    const fresh = choice.darkAndGlossy === true ? darkTile(random) : paintedTile(random);
    const alike = choice.pairs === true && before !== undefined && random.uniform() < 0.5;
    const spectrum = alike ? likeBefore(random, before!, fresh) : fresh;
    before = spectrum;
    return {
      place: `t${i + 1}`,
      at,
      spectrum,
      lab: labOf(spectrum),
      offset: [0, 0],
      sideMm,
      turn,
      round: choice.arrangement === 'scattered' && random.uniform() < 0.3,
      stamped: random.uniform() < 0.4,
      gloss:
        choice.darkAndGlossy === true
          ? [0.15 + 0.4 * random.uniform(), even(4), even(4), 3 + 2 * random.uniform()]
          : [
              random.uniform() < 0.4 ? 0.4 * random.uniform() : 0,
              even(6),
              even(6),
              1.5 + 2 * random.uniform(),
            ],
    };
  });
  const cameras = CAMERAS.filter(({ heldOut }) => heldOut === (choice.heldOut ?? false));
  const steep = choice.light === 'clear' ? 0.08 : choice.light === 'gradient' ? 0.35 : 0.15;
  const angle = 2 * Math.PI * random.uniform();
  const slope = steep * (0.6 + 0.4 * random.uniform());
  const casts = choice.light === 'shadow' && made.length > 0;
  const spectra = choice.heldOut === true ? { spectra: CHART_SPECTRA_HELD_OUT } : {};
  const through = made[random.whole(0, Math.max(0, made.length - 1))]?.at ?? [200, 150];
  return {
    ...onSheet,
    layout: sheet === undefined && chart !== undefined ? { ...layout, chart: chart.box } : layout,
    camera: cameras[random.whole(0, cameras.length - 1)],
    lights: onSheet.lights.map(({ name, share }) => ({
      name,
      share,
      slope: [slope * Math.cos(angle), slope * Math.sin(angle)],
    })),
    tiles: sheet === undefined ? made : [...onSheetTiles(random, sheet), ...made],
    chart:
      chart !== undefined
        ? { offset: [0, 0], turnDeg: chart.turnDeg, ...spectra }
        : sheet !== undefined
          ? { offset: [even(2), even(1)], turnDeg: even(3), ...spectra }
          : undefined,
    pose: {
      turnDeg: even(6),
      tiltDeg: 18 * random.uniform(),
      tiltTowardsDeg: 360 * random.uniform(),
      fill: sheet === undefined ? 1.05 : 0.97,
      bend: even(0.02),
    },
    output: random.uniform() < 0.75 ? 'sRGB' : 'Display P3',
    ...(casts && choice.heldOut === true ? { casters: [softCaster(random, through)] } : {}),
    ...(choice.clutter === true
      ? {
          clutter: randomClutter(
            random,
            layout.widthMm,
            layout.heightMm,
            (at, reach) =>
              (sheet === undefined || at[0] > SHEET_AT[0] + sheet.widthMm + 5 + reach) &&
              (chart === undefined || apartFrom(chart, at, reach)) &&
              made.every((tile) =>
                tile.at === undefined
                  ? true
                  : Math.hypot(tile.at[0] - at[0], tile.at[1] - at[1]) > reach + 0.8 * tile.sideMm,
              ),
          ),
        }
      : {}),
    shadow:
      casts && choice.heldOut !== true
        ? {
            at: [through[0] + even(35), through[1] + even(35)],
            angleDeg: 360 * random.uniform(),
            depth: 0.2 + 0.25 * random.uniform(),
            softMm: 4 + 14 * random.uniform(),
            bulgePerMm: even(1 / 150),
          }
        : undefined,
    hand: undefined,
    table: {
      name: choice.table,
      seed: random.whole(1, 1_000_000),
      ...(sheet === undefined
        ? {}
        : { paper: { at: SHEET_AT, widthMm: sheet.widthMm, heightMm: sheet.heightMm } }),
    },
    widthPx: 1600,
    heightPx: 1200,
  };
}

/** A head, a shoulder or the frame of a window, its edge by a tile. */
function softCaster(random: Random, [x, y]: At): Caster {
  const shape = random.uniform() < 0.6 ? 'lump' : 'corner';
  const sizeMm = 60 + 70 * random.uniform();
  const angle = 2 * Math.PI * random.uniform();
  const away = (shape === 'lump' ? sizeMm : 0) + (random.uniform() * 2 - 1) * 30;
  return {
    shape,
    at: [x - away * Math.cos(angle), y - away * Math.sin(angle)],
    angleDeg: (angle * 180) / Math.PI,
    sizeMm,
    depth: 0.2 + 0.25 * random.uniform(),
    softMm: 8 + 20 * random.uniform(),
    softGrows: 0.1 * random.uniform(),
  };
}

function bareBoard(): SheetLayout {
  const [widthMm, heightMm] = BOARD_MM;
  return { name: 'table', widthMm, heightMm, markers: [], places: [], crosses: false, printed: [] };
}

/** The sheet as a part of a larger board. */
function boardAround(sheet: SheetLayout): SheetLayout {
  const moved = ([x, y]: At): At => [x + SHEET_AT[0], y + SHEET_AT[1]];
  return {
    ...sheet,
    name: 'table',
    widthMm: sheet.widthMm + 200,
    heightMm: sheet.heightMm + 2 * SHEET_AT[1],
    markers: sheet.markers.map((marker) => ({ ...marker, at: moved(marker.at) })),
    places: sheet.places.map((place) => ({ ...place, centre: moved(place.centre) })),
    printed: sheet.printed.map((box) => ({ ...box, at: moved(box.at) })),
    ...(sheet.chart === undefined ? {} : { chart: { ...sheet.chart, at: moved(sheet.chart.at) } }),
  };
}

function onSheetTiles(random: Random, { places }: SheetLayout): TileInScene[] {
  return places.slice(0, 6).map(({ name }): TileInScene => {
    const spectrum = paintedTile(random);
    return {
      place: name,
      spectrum,
      lab: labOf(spectrum),
      offset: [0, 0],
      sideMm: 24,
      turn: 0,
      round: false,
      stamped: false,
      gloss: [0, 0, 0, 2],
    };
  });
}

interface ChartOn {
  readonly middle: At;
  readonly turnDeg: number;
  readonly box: { readonly at: At; readonly widthMm: number; readonly heightMm: number };
}

/** A chart near one side or corner of the board. */
function chartOn({ widthMm, heightMm }: SheetLayout, random: Random): ChartOn {
  const upright = random.uniform() < 0.5;
  const [w, h] = upright ? [CHART_HALF[1], CHART_HALF[0]] : CHART_HALF;
  const spot = (half: number, end: number) =>
    half + MARGIN_MM + (end - 2 * half - 2 * MARGIN_MM) * [0, 0, 0.5, 1, 1][random.whole(0, 4)];
  let middle: At = [spot(w, widthMm), spot(h, heightMm)];
  // In the very middle there would be no room for the tiles.
  if (Math.abs(middle[0] - widthMm / 2) < 1) middle = [w + MARGIN_MM, middle[1]];
  return {
    middle,
    turnDeg: (upright ? 90 : 0) + 180 * random.whole(0, 1) + (random.uniform() * 2 - 1) * 5,
    box: { at: [middle[0] - 65, middle[1] - 46], widthMm: 130, heightMm: 92 },
  };
}

function apartFrom({ middle, turnDeg }: ChartOn, [x, y]: At, reach: number): boolean {
  const angle = (turnDeg * Math.PI) / 180;
  const [dx, dy] = [x - middle[0], y - middle[1]];
  const u = dx * Math.cos(angle) + dy * Math.sin(angle);
  const v = dy * Math.cos(angle) - dx * Math.sin(angle);
  return Math.abs(u) > CHART_HALF[0] + reach || Math.abs(v) > CHART_HALF[1] + reach;
}

interface Spot {
  readonly at: At;
  readonly sideMm: number;
  readonly turn: number;
}

/** Scattered with some room between them, or in rows that touch. */
function placesFor(
  random: Random,
  { widthMm, heightMm }: SheetLayout,
  { tiles, arrangement }: TableChoice,
  free: (at: At, reach: number) => boolean,
): Spot[] {
  const out: Spot[] = [];
  const crowded = tiles > 24;
  const side = crowded ? 15 : 20 + 6 * random.uniform();
  const anywhere = (): At => [
    MARGIN_MM + (widthMm - 2 * MARGIN_MM) * random.uniform(),
    MARGIN_MM + (heightMm - 2 * MARGIN_MM) * random.uniform(),
  ];
  const clear = (at: At, apart: number) =>
    at[0] > MARGIN_MM &&
    at[1] > MARGIN_MM &&
    at[0] < widthMm - MARGIN_MM &&
    at[1] < heightMm - MARGIN_MM &&
    free(at, side * 0.75) &&
    out.every((other) => Math.hypot(other.at[0] - at[0], other.at[1] - at[1]) > apart);
  for (let tries = 0; tries < 4000 && out.length < tiles; tries++) {
    const at = anywhere();
    if (!clear(at, 1.6 * side)) continue;
    if (arrangement === 'scattered') {
      out.push({
        at,
        sideMm: side * (0.92 + 0.16 * random.uniform()),
        turn: (random.uniform() - 0.5) * 1.2,
      });
      continue;
    }
    const turn = (random.uniform() - 0.5) * 0.8;
    const [cos, sin] = [Math.cos(turn) * side, Math.sin(turn) * side];
    const columns = random.whole(2, 4);
    const rows = random.whole(1, 3);
    const before = out.length;
    const block: Spot[] = [];
    for (let k = 0; k < columns * rows && before + block.length < tiles; k++) {
      const [c, r] = [k % columns, Math.floor(k / columns)];
      const here: At = [at[0] + c * cos - r * sin, at[1] + c * sin + r * cos];
      if (clear(here, 1.5 * side)) block.push({ at: here, sideMm: side - 0.1, turn });
    }
    out.push(...block);
  }
  return out;
}

/** A dark, often coloured tile, as clays are that shine most. */
function darkTile(random: Random): Float64Array {
  for (;;) {
    const spectrum = paintedTile(random);
    if (labOf(spectrum)[0] < 32) return spectrum;
  }
}
