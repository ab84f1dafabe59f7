import { colourName } from '../core/colour/colour-name.ts';
import { CHART_MIDDLE } from '../core/photo/find-chart.ts';
import { pixelOf } from '../core/photo/plane-view.ts';
import { combinedTiles, driftNotes, photoResultOf } from '../verbs/photo-result.ts';
import type { ReadOne, ReadOverAll } from '../verbs/photo-tiles.ts';
import {
  columns,
  counted,
  fixed,
  isShown,
  labText,
  NOT_SHOWN_NOTE,
  plain,
  type Screen,
  swatch,
} from './terminal-output.ts';

/** Everything a call read, and where it was written. */
export interface ReadAll extends ReadOverAll {
  readonly photos: readonly (ReadOne & { readonly readMs: number })[];
  readonly written?: { readonly path: string; readonly readings: number };
}

/** `named`: the user gave the names of the tiles in the places. */
export function readText(all: ReadAll, screen: Screen, named: boolean): string {
  const lines: string[] = [];
  for (const one of all.photos) lines.push(...photoLines(one, screen), '');
  if (all.photos.length > 1) {
    lines.push('Over all photos', '');
    lines.push(
      ...columns(
        all.tiles.map(({ name, reading }) => [
          `  ${swatch(screen, reading.lab)}${plain(name)}`,
          labText(reading.lab),
          `± ${fixed(sizeOf(reading.covariance), 1)}`,
          counted(reading.photos, 'photo'),
          reading.disagree ? 'the photos differ by more than they should' : '',
        ]),
        'llrll',
      ),
      '',
    );
  }
  for (const { name, drift } of all.drifts) {
    const step = `${plain(name)} reads ${fixed(drift.dE00, 1)} dE00 from ${counted(drift.earlier, 'earlier reading')}`;
    lines.push(
      drift.drifted
        ? `${step}: more than chance brings. Has the tile, the chart or the lamp changed?`
        : `${step}: as it was.`,
    );
  }
  if (all.written !== undefined) {
    lines.push(
      `${counted(all.written.readings, 'reading')} written to ${plain(all.written.path)}.`,
    );
    if (!named) {
      lines.push(
        'In its column "of" stands the name of each tile: write the recipe there, or name them with --tiles.',
      );
    }
  }
  if (all.photos.some(({ read }) => read.tiles.some(({ lab }) => !isShown(lab)))) {
    lines.push(NOT_SHOWN_NOTE);
  }
  return `${lines.join('\n').trimEnd()}\n`;
}

function photoLines({ file, photo, read }: ReadOne, screen: Screen): string[] {
  const { sheet, chart, rough } = read;
  const lines = [
    `What colour are the tiles in ${plain(file)}?`,
    '',
    `  ${photo.kind}, ${photo.widthPx} x ${photo.heightPx}, ${photo.bits} bit${sheet === undefined ? '' : `; tray sheet ${plain(sheet.layout.name)}, ${counted(sheet.markersSeen, 'marker')} seen`}.`,
  ];
  if (chart?.correction !== undefined) {
    const { heldOut } = chart.correction;
    lines.push(
      `  Corrected by ${chart.used.length} of 24 patches; a patch left out comes back within ${fixed(heldOut.mean, 1)} dE00 on average, ${fixed(heldOut.worst, 1)} at worst.`,
    );
  } else if (rough !== undefined) {
    lines.push(
      `  Rough colours, balanced ${rough.balanced}: trust how tiles differ, not what each is.`,
    );
  }
  for (const { name, mark } of chart?.patches ?? []) {
    if (mark !== undefined) lines.push(`  Patch ${name} was left out: ${mark}.`);
  }
  if (chart?.other !== undefined) {
    const at = pixelOf(chart.other, CHART_MIDDLE).map((v) => Math.round(v));
    lines.push(`  There is another chart: to use it, add --chart-at ${at.join(',')}.`);
  }
  lines.push(...photo.notes.map((note) => `  ${plain(note)}`));
  lines.push(...read.notes.map((note) => `  ${plain(note)}`), '');
  if (read.tiles.length === 0) {
    lines.push(
      '  No tile was found in it. A tile that lies on no sheet is named by --tap "NAME@X,Y", its middle in pixels.',
    );
  } else {
    lines.push(
      ...columns(
        read.tiles.map((tile) => [
          `  ${swatch(screen, tile.lab)}${plain(tile.name)}`,
          colourName(tile.lab).name,
          labText(tile.lab),
          `± ${fixed(sizeOf(tile.covariance), 1)}`,
          tile.quality,
        ]),
        'lllrl',
      ),
    );
    for (const { name, marks } of read.tiles) {
      for (const { reason } of marks) lines.push(`  ${plain(name)}: ${reason}.`);
    }
  }
  if (read.emptyPlaces.length > 0)
    lines.push(`  Empty: ${read.emptyPlaces.map(plain).join(', ')}.`);
  return lines;
}

function sizeOf(covariance: Iterable<number>): number {
  const [l = 0, , , , a = 0, , , , b = 0] = covariance;
  return Math.sqrt(l + a + b);
}

/** Numbers of a photo for other programs; docs/photo.md tells each. */
export function readJson(all: ReadAll): string {
  return JSON.stringify({
    photos: all.photos.map((one) => ({ ...photoResultOf(one), readMs: Math.round(one.readMs) })),
    tiles: combinedTiles(all.tiles),
    drifts: driftNotes(all.drifts),
    written: all.written ?? null,
  });
}
