import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../../bench/random.ts';
import { renderChartPhoto, snappedChart } from '../../../test/studio-camera/chart-photo.ts';
import { CHART_MIDDLE, findChart } from './find-chart.ts';
import type { Picture } from './picture.ts';
import { pixelOf } from './plane-view.ts';
import { whyNoChart } from './why-no-chart.ts';

function chartPhoto(seed: number, noise?: number): Picture {
  const random = randomFrom(seed);
  const plain = { ...snappedChart(random, 'none'), widthPx: 640, heightPx: 480, turnDeg: 12 };
  return renderChartPhoto(
    { ...plain, ground: 'plain', ...(noise === undefined ? {} : { noise }) },
    random,
  ).picture;
}

/** Each pixel by what it and its mirror image hold. */
function changed(
  { width, height, codes }: Picture,
  of: (rgb: readonly number[], mirror: readonly number[]) => readonly number[],
): Picture {
  const out = new Uint8Array(codes.length);
  for (let i = 0; i < width * height; i++) {
    const m = i - (i % width) + (width - 1 - (i % width));
    const at = (k: number) => [codes[3 * k], codes[3 * k + 1], codes[3 * k + 2]];
    out.set(of(at(i), at(m)), 3 * i);
  }
  return { width, height, codes: out };
}

describe('a chart that is not found', () => {
  it('is said to be mirrored', () => {
    const picture = changed(chartPhoto(3), (_, mirror) => mirror);
    expect(findChart(picture)).toBeUndefined();
    expect(whyNoChart(picture)).toContain('mirrored');
  });

  it.each([1, 1.6])(
    'is said to have one hue under a sepia filter, %f times as bright',
    (bright) => {
      const picture = changed(chartPhoto(3), ([r, g, b]) => {
        const grey = bright * (0.3 * r + 0.6 * g + 0.1 * b);
        return [1.05, 0.85, 0.65].map((share) => Math.min(255, grey * share));
      });
      expect(findChart(picture)).toBeUndefined();
      expect(whyNoChart(picture)).toContain('hue');
    },
  );

  it('is said to be noisy', () => {
    expect(whyNoChart(chartPhoto(3, 0.4))).toContain('noisy');
  });

  it('is said to be cut off or blurred where nothing else is wrong', () => {
    const { width, height, codes } = chartPhoto(3);
    const half = changed({ width, height, codes }, (rgb) => rgb);
    const cut = { width, height: height / 2, codes: half.codes.slice(0, codes.length / 2) };
    expect(findChart(cut)).toBeUndefined();
    expect(whyNoChart(cut)).toContain('All 24 patches');
  });
});

describe('two charts in one photo', () => {
  it('are both found, and the one that is meant is used', () => {
    const one = chartPhoto(3);
    const { width, height, codes } = one;
    const both = new Uint8Array(codes.length * 2);
    both.set(codes);
    both.set(codes, codes.length);
    const picture = { width, height: height * 2, codes: both };
    const found = findChart(picture)!;
    expect(findChart(one)?.other).toBeUndefined();
    const middles = [found.view, found.other!].map((view) => pixelOf(view, CHART_MIDDLE));
    expect(Math.abs(middles[0][1] - middles[1][1])).toBeCloseTo(height, -1);
    for (const at of middles) {
      const [x, y] = pixelOf(findChart(picture, at)!.view, CHART_MIDDLE);
      expect(Math.hypot(x - at[0], y - at[1])).toBeLessThan(3);
    }
  });
});
