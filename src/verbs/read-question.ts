import { z } from 'zod';
import {
  chartEditions,
  cornersAsked,
  DEFAULT_EDITION,
  pixel,
  sheetAsked,
} from '../domain/records/photo-request.ts';
import { lab, line, range } from '../domain/records/pieces.ts';
import { words } from './verb.ts';

export const readQuestion = z.strictObject({
  sheet: sheetAsked.default('any').meta(
    words({
      option: 'sheet',
      value: 'NAME',
      reads: 'sheet',
      help: 'the sheet the tiles are on: A4 or Letter as "kneadwell tray-sheet" prints it, none, or the file of a board of your own (docs/photo.md); with any, the markers decide',
    }),
  ),
  /** Known colours of the patches A1 to D6, where they are no printed edition's. */
  chart: z
    .union([chartEditions, z.strictObject({ labs: z.array(lab).length(24).readonly() })])
    .default(DEFAULT_EDITION)
    .meta(
      words({
        option: 'chart',
        value: 'EDITION',
        reads: 'chart',
        help: 'the chart of 24 patches: "from 2014", "before 2014", none, or a file of readings of your own chart, tiles named A1 to D6',
      }),
    ),
  chartAt: pixel.exactOptional().meta(
    words({
      option: 'chart-at',
      value: 'X,Y',
      reads: 'place',
      help: 'which chart is meant where there are several: a pixel on it, like "640,480"',
    }),
  ),
  corners: cornersAsked.exactOptional().meta(
    words({
      option: 'corners',
      value: 'PLACES',
      reads: 'corners',
      help: 'outer corners of the sheet\'s corner markers, top left first, then clockwise, in pixels: "80,95 1120,90 1130,1510 75,1500"; with --sheet',
    }),
  ),
  taps: z
    .array(z.strictObject({ name: line(60), at: pixel }))
    .max(60)
    .default([])
    .meta(
      words({
        option: 'tap',
        value: 'NAME@X,Y',
        reads: 'tap',
        help: 'a tile that is on no sheet, by its middle in pixels',
      }),
    ),
  findTiles: z
    .boolean()
    .exactOptional()
    .meta(
      words({
        option: 'find-tiles',
        help: 'read tiles that seem to lie on the table, where no sheet is found; on where no tile is named by its place',
      }),
    ),
  /** Tiles of the photo whose colour is known, by the name they have in it. */
  controls: z
    .array(
      z.strictObject({
        name: line(200),
        earlier: z
          .array(z.strictObject({ lab, spread: range(0.001, 20) }))
          .min(1)
          .max(200),
      }),
    )
    .max(60)
    .default([])
    .meta(
      words({
        help: 'control tiles',
        file: {
          option: 'controls',
          holds: 'earlier',
          help: 'earlier readings of control tiles, by tile name: says whether they drift, and balances a photo without a chart',
        },
      }),
    ),
});
export type ReadQuestion = z.output<typeof readQuestion>;
