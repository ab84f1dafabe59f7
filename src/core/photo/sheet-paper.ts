import { barePaper, type PaperSample } from './bare-paper.ts';
import { unbent } from './camera-model.ts';
import { srgbDecoded, srgbEncoded } from './encoding.ts';
import type { FoundSheet } from './find-sheet.ts';
import type { CameraFit } from './fit-camera.ts';
import { lightAgainst, type PaperLight, paperAt, paperLight } from './paper-light.ts';
import { lightAround, type Picture, type PictureColour } from './picture.ts';
import { type Point, pixelOf } from './plane-view.ts';

/** Light over the sheet; with a fit, its tone curve and black level are taken off first. */
export function paperOf(
  picture: Picture,
  colour: PictureColour,
  sheet: FoundSheet,
  fit?: CameraFit,
): PaperLight | undefined {
  const samples: PaperSample[] = [];
  const out = new Float64Array(4);
  for (const at of barePaper(sheet.layout)) {
    const [x, y] = pixelOf(sheet.view, at);
    if (!(x >= 0 && y >= 0 && x < picture.width && y < picture.height)) continue;
    const [besideX] = pixelOf(sheet.view, [at[0] + 1, at[1]]);
    lightAround(out, picture, colour, x, y, Math.max(1, Math.abs(besideX - x)));
    if (out[3] > 0) continue;
    const light = [0, 1, 2].map((c) => evenLight(out[c], c, fit)) as [number, number, number];
    samples.push({ at, light });
  }
  return paperLight(samples, sheet.layout);
}

function evenLight(light: number, channel: number, fit: CameraFit | undefined): number {
  if (fit === undefined) return light;
  return srgbDecoded(unbent(srgbEncoded(light), fit.numbers)) - fit.numbers[2 + channel];
}

/** How much less light than expected the paper just round a place shows, as a part; 0 where it shows more. */
export function shadeAt(
  picture: Picture,
  colour: PictureColour,
  sheet: FoundSheet,
  paper: PaperLight,
  place: Point,
  fit: CameraFit | undefined,
): number {
  const out = new Float64Array(4);
  const ratios: number[] = [];
  for (let k = 0; k < 16; k++) {
    const angle = (k / 16) * 2 * Math.PI;
    const at: Point = [place[0] + 20 * Math.cos(angle), place[1] + 20 * Math.sin(angle)];
    const [x, y] = pixelOf(sheet.view, at);
    if (!(x >= 0 && y >= 0 && x < picture.width && y < picture.height)) continue;
    lightAround(out, picture, colour, x, y, 1);
    if (out[3] > 0) continue;
    const expected = lightAgainst(paper, sheet.layout, at, place)[1];
    ratios.push(evenLight(out[1], 1, fit) / expected);
  }
  if (ratios.length < 8) return 0;
  ratios.sort((a, b) => a - b);
  // The brighter quarter is paper for sure; it is told against what the whole sheet foretells here.
  const here = ratios[Math.floor(0.75 * ratios.length)];
  const foretold = paperAt(paper, sheet.layout, place)[1];
  return Math.max(0, 1 - here / foretold);
}
