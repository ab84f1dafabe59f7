import { barePaper, type PaperSample } from './bare-paper.ts';
import { linearised } from './camera-model.ts';
import { srgbDecoded, srgbEncoded } from './encoding.ts';
import type { FoundSheet } from './find-sheet.ts';
import type { CameraFit } from './fit-camera.ts';
import { type PaperLight, paperLight } from './paper-light.ts';
import { lightAround, type Picture, type PictureColour } from './picture.ts';
import { pixelOf } from './plane-view.ts';

/** Light over the sheet; with a fit, its tone curve and black level are removed first. */
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

/** With a fit, its tone curve and black level are removed. */
export function evenLight(light: number, channel: number, fit: CameraFit | undefined): number {
  if (fit === undefined) return light;
  return srgbDecoded(linearised(srgbEncoded(light), fit.numbers)) - fit.numbers[2 + channel];
}
