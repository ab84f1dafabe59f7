import { clippedChannels } from './clipped-channels.ts';
import type { PaperRing } from './paper-ring.ts';
import type { TileArea } from './tile-area.ts';

export type Quality = 'good' | 'usable' | 'poor';

/** What may spoil a reading, with something the user can do. */
export interface TileMark {
  readonly mark:
    | 'clipped'
    | 'gloss'
    | 'stamp or dirt'
    | 'outline not seen'
    | 'uneven'
    | 'in shadow'
    | 'far from the chart'
    | 'light unsure'
    | 'too strong';
  readonly reason: string;
  readonly quality: 'usable' | 'poor';
}

const LIMITS = {
  clipped: 0.02,
  glossy: 0.25,
  mostly: 0.6,
  dark: 0.3,
  unevenDe: 1.5,
  shade: 0.08,
  edge: 0.04,
  deepEdge: 0.1,
  spreadDe: 3,
  light: 0.06,
  lightPoor: 0.15,
};

/**
 * Marks of one tile.
 * Shape:   what was seen; unevenness of its quarters in dE00; what the paper around it shows of the
 *          light; size of its ± where a chart corrects it; how unsure the light there is, as a share
 */
export function marksOf(
  tile: TileArea,
  unevennessDe: number,
  { beside, edge }: PaperRing,
  plusMinus: number | undefined,
  lightSpread = 0,
): TileMark[] {
  const marks: TileMark[] = [];
  const percent = (part: number) => `${Math.round(100 * part)} %`;
  if (tile.clipped > LIMITS.clipped) {
    marks.push({
      mark: 'clipped',
      reason: `${percent(tile.clipped)} of it is too bright for the camera: expose less and take the photo again`,
      quality: 'poor',
    });
  }
  const shade = Math.expm1(beside);
  if (Math.abs(shade) > LIMITS.shade) {
    marks.push({
      mark: 'in shadow',
      reason: `the paper beside it has ${percent(Math.abs(shade))} ${shade < 0 ? 'less' : 'more'} light than the sheet around it: turn the lamp, or step aside`,
      quality: 'poor',
    });
  } else if (edge > LIMITS.edge) {
    marks.push({
      mark: 'in shadow',
      reason: `the edge of a shadow falls next to it and takes ${percent(-Math.expm1(-2 * edge))} of the light: turn the lamp, or step aside`,
      quality: edge > LIMITS.deepEdge ? 'poor' : 'usable',
    });
  }
  if (lightSpread > LIMITS.light) {
    marks.push({
      mark: 'light unsure',
      reason: `the light on it may differ by ${percent(lightSpread)} from what the chart and the table show: put the chart closer, or use the printed sheet`,
      quality: lightSpread > LIMITS.lightPoor ? 'poor' : 'usable',
    });
  }
  if (!tile.outlineSeen) {
    marks.push({
      mark: 'outline not seen',
      reason: 'its edge is not visible against its surroundings; the middle of the place was read',
      quality: tile.glossy > LIMITS.glossy ? 'poor' : 'usable',
    });
  }
  if (tile.glossy > LIMITS.glossy) {
    marks.push({
      mark: 'gloss',
      reason: `${percent(tile.glossy)} of it shines and was left out: turn the tray against the light`,
      quality: tile.glossy > LIMITS.mostly ? 'poor' : 'usable',
    });
  }
  if (tile.dark > LIMITS.dark) {
    marks.push({
      mark: 'stamp or dirt',
      reason: `${percent(tile.dark)} of it is darker than the rest and was left out`,
      quality: 'usable',
    });
  }
  if (unevennessDe > LIMITS.unevenDe) {
    marks.push({
      mark: 'uneven',
      reason: `its quarters differ by ${unevennessDe.toFixed(1)} dE00: uneven clay, or uneven light`,
      quality: 'usable',
    });
  }
  if (clippedChannels(tile.light).length > 0) {
    marks.push({
      mark: 'too strong',
      reason: 'its colour is stronger than the photo can hold; by how much is not known',
      quality: 'usable',
    });
  }
  if (plusMinus !== undefined && plusMinus > 2 * LIMITS.spreadDe) {
    marks.push({
      mark: 'far from the chart',
      reason: `its colour is far from those of the chart: ± ${plusMinus.toFixed(1)}`,
      quality: 'usable',
    });
  }
  return marks;
}

export function qualityOf(marks: readonly TileMark[]): Quality {
  if (marks.some(({ quality }) => quality === 'poor')) return 'poor';
  return marks.length > 0 ? 'usable' : 'good';
}
