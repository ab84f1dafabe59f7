import { median } from './commonest.ts';
import { findChart } from './find-chart.ts';
import { type Picture, type SmallPicture, smallPicture } from './picture.ts';

/** Longer side of the picture that is searched once more, pixels. */
const SIDE = 1000;
/** Coloured light leaves at least this much of the variance of colour in a second direction. */
const ONE_HUE = 0.02;
/** Under a filter all that is neither dark nor clipped has about the same shares of the channels. */
const SAME_SHARES = 0.025;
const DARK = 0.25;
const CLIPPED = 0.97;
/** A chart and tiles cover more of a picture than this. */
const LEAST_OTHERS = 0.01;
/** Least variance of colour of a picture that shows coloured things, in codes squared. */
const COLOURLESS = 2e-4;
/** Median step between neighbouring pixels of the reduced picture from which it is noisy. */
const NOISY = 0.06;

/** Why no chart was found, with something to do; empty where nothing else is seen to be wrong. */
export function whyNoChart(picture: Picture): string {
  const small = smallPicture(picture, SIDE);
  const [first, second] = spreadOfColour(small);
  if (first < COLOURLESS || second < ONE_HUE * first || othersThanUsual(small) < LEAST_OTHERS) {
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

/** Share of the picture whose channels have other shares than most of it. */
function othersThanUsual({ channels }: SmallPicture): number {
  const shares: [number, number][] = [];
  for (let i = 0; i < channels.length; i += 3) {
    const [r, g, b] = [channels[i], channels[i + 1], channels[i + 2]];
    if (r + g + b < 3 * DARK || Math.max(r, g, b) > CLIPPED) continue;
    shares.push([r / (r + g + b), b / (r + g + b)]);
  }
  if (shares.length === 0) return 0;
  const usual = [0, 1].map((k) => median(shares.map((share) => share[k])));
  const others = shares.filter(([r, b]) => Math.hypot(r - usual[0], b - usual[1]) > SAME_SHARES);
  return others.length / shares.length;
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
