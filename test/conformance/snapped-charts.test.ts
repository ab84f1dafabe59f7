import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../bench/random.ts';
import { findChart } from '../../src/core/photo/find-chart.ts';
import { pixelOf } from '../../src/core/photo/plane-view.ts';
import {
  latticeOf,
  renderChartPhoto,
  snappedChart,
  type Trouble,
} from '../studio-camera/chart-photo.ts';

/** A quarter of a patch, in pitches: patches fill about 0.85 of theirs. */
const QUARTER = 0.85 / 4;
/** A few of the difficulties of bench/chart-snaps.ts, including those that once failed. */
const HARD: readonly Trouble[] = ['small', 'cloth', 'screen', 'thumb', 'smeared', 'decoy beside'];

describe('charts snapped by themselves', () => {
  it.each(HARD)('%s: found, each centre within a quarter of a patch', (trouble) => {
    const random = randomFrom(9001);
    const { picture, patches, pitchPx } = renderChartPhoto(snappedChart(random, trouble), random);
    const found = findChart(picture)!;
    patches.forEach(([x, y], i) => {
      const [px, py] = pixelOf(found.view, [i % 6, Math.floor(i / 6)]);
      expect(Math.hypot(px - x, py - y) / pitchPx).toBeLessThan(QUARTER);
    });
  });

  it.each(['cloth', 'screen', 'plain'] as const)('none is seen on %s where none lies', (ground) => {
    const random = randomFrom(9002);
    const base = snappedChart(random, 'none');
    const decoy = ground === 'plain' ? latticeOf(random, base.widthPx, base.heightPx) : undefined;
    const { picture } = renderChartPhoto({ ...base, chart: false, ground, decoy }, random);
    expect(findChart(picture)).toBeUndefined();
  });
});
