import { findChart } from './find-chart.ts';
import { type Picture, type SmallPicture, smallPicture } from './picture.ts';

/** Longer side of the picture that is searched once more, pixels. */
const SIDE = 1000;
/** Coloured light leaves at least this much of the variance of colour in a second direction. */
const ONE_HUE = 0.02;
/** Least variance of colour of a picture that shows coloured things, in codes squared. */
const COLOURLESS = 2e-4;
/** Median step between neighbouring pixels of the reduced picture from which it is noisy. */
const NOISY = 0.06;

/** Why no chart was found, with something to do; empty where nothing else is seen to be wrong. */
export function whyNoChart(picture: Picture): string {
  const small = smallPicture(picture, SIDE);
  const [first, second] = spreadOfColour(small);
  if (first < COLOURLESS || second < ONE_HUE * first) {
    return 'The photo has hardly more than one hue: save it without a filter, and take it under white light.';
  }
  if (medianStep(small) > NOISY) {
    return 'The photo is very noisy: take it again with more light.';
  }
  if (findChart(mirrored(small)) !== undefined) {
    return 'The photo is mirrored: turn mirroring off in the camera, or flip the photo back.';
  }
  return 'All 24 patches must be in the photo, sharp, and not too bright.';
}

/** Variances of the two differences of channels along their own two directions, larger first. */
function spreadOfColour({ channels }: SmallPicture): readonly [number, number] {
  const n = channels.length / 3;
  let [sx, sy, sxx, sxy, syy] = [0, 0, 0, 0, 0];
  for (let i = 0; i < channels.length; i += 3) {
    const x = channels[i] - channels[i + 1];
    const y = channels[i + 2] - channels[i + 1];
    sx += x;
    sy += y;
    sxx += x * x;
    sxy += x * y;
    syy += y * y;
  }
  const xx = sxx / n - (sx / n) ** 2;
  const xy = sxy / n - (sx / n) * (sy / n);
  const yy = syy / n - (sy / n) ** 2;
  const half = (xx + yy) / 2;
  const away = Math.sqrt(Math.max(0, half * half - (xx * yy - xy * xy)));
  return [half + away, Math.max(0, half - away)];
}

function medianStep({ width, height, channels }: SmallPicture): number {
  const steps: number[] = [];
  for (let y = 0; y < height; y += 2) {
    for (let x = 0; x + 1 < width; x += 2) {
      const at = (y * width + x) * 3 + 1;
      steps.push(Math.abs(channels[at + 3] - channels[at]));
    }
  }
  steps.sort((a, b) => a - b);
  return steps[steps.length >> 1] ?? 0;
}

function mirrored({ width, height, channels }: SmallPicture): Picture {
  const codes = new Uint8Array(channels.length);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      for (let c = 0; c < 3; c++) {
        codes[(y * width + x) * 3 + c] = Math.round(
          255 * channels[(y * width + (width - 1 - x)) * 3 + c],
        );
      }
    }
  }
  return { width, height, codes };
}
