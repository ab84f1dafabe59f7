import { type PlaneView, type Point, pixelOf } from '../../src/core/photo/plane-view.ts';
import type { Scene } from './scene.ts';

/** A camera over the sheet, turned and tilted. */
export function viewOf(scene: Scene): PlaneView {
  const { layout, pose, widthPx, heightPx } = scene;
  const turn = (pose.turnDeg * Math.PI) / 180;
  const tilt = (pose.tiltDeg * Math.PI) / 180;
  const towards = (pose.tiltTowardsDeg * Math.PI) / 180;
  const [ct, st] = [Math.cos(turn), Math.sin(turn)];
  // Perspective: points towards the tilt are nearer by their height over a distance of two sheets.
  const distance = 2 * layout.heightMm;
  const px = (Math.sin(tilt) * Math.cos(towards)) / distance;
  const py = (Math.sin(tilt) * Math.sin(towards)) / distance;
  const squash = Math.cos(tilt);
  const [ca, sa] = [Math.cos(towards), Math.sin(towards)];
  const affine = (x: number, y: number): Point => {
    // Compressed along the tilt, then rotated.
    const along = (x * ca + y * sa) * squash;
    const across = -x * sa + y * ca;
    const u = along * ca - across * sa;
    const v = along * sa + across * ca;
    return [u * ct - v * st, u * st + v * ct];
  };
  const [a, d] = affine(1, 0);
  const [b, e] = affine(0, 1);
  const project = (scale: number): number[] => {
    const w = layout.widthMm / 2;
    const h = layout.heightMm / 2;
    const core = [a * scale, b * scale, 0, d * scale, e * scale, 0, px, py, 1];
    const shifted = [0, 1, 2].flatMap((r) => {
      const [p, q, s] = core.slice(3 * r, 3 * r + 3);
      return [p, q, s - p * w - q * h];
    });
    const [p, q, s] = shifted.slice(6);
    return [
      ...[0, 1, 2].map((k) => shifted[k] + (widthPx / 2) * [p, q, s][k]),
      ...[0, 1, 2].map((k) => shifted[3 + k] + (heightPx / 2) * [p, q, s][k]),
      p,
      q,
      s,
    ];
  };
  const reach = Math.max(widthPx, heightPx) / 2;
  const viewAt = (scale: number): PlaneView => ({
    perspective: project(scale),
    middle: [widthPx / 2, heightPx / 2],
    reach,
    bend: pose.bend,
  });
  const corners: Point[] = [
    [0, 0],
    [layout.widthMm, 0],
    [0, layout.heightMm],
    [layout.widthMm, layout.heightMm],
  ];
  const extent = (scale: number) =>
    Math.max(
      ...corners.map((corner) => {
        const [x, y] = pixelOf(viewAt(scale), corner);
        return Math.max(Math.abs(x / widthPx - 0.5), Math.abs(y / heightPx - 0.5)) * 2;
      }),
    );
  let [low, high] = [0.1, 100];
  for (let step = 0; step < 40; step++) {
    const middle = Math.sqrt(low * high);
    if (extent(middle) > pose.fill) high = middle;
    else low = middle;
  }
  return viewAt(low);
}

/** From pixels back to places on the sheet. */
export function backwards(view: PlaneView): (x: number, y: number) => Point {
  const m = view.perspective;
  const minor = (r: number, c: number) => {
    const [r1, r2] = [(r + 1) % 3, (r + 2) % 3];
    const [c1, c2] = [(c + 1) % 3, (c + 2) % 3];
    return m[3 * r1 + c1] * m[3 * r2 + c2] - m[3 * r1 + c2] * m[3 * r2 + c1];
  };
  const inverse = Array.from({ length: 9 }, (_, i) => minor(i % 3, Math.floor(i / 3)));
  return (x, y) => {
    const dx = x - view.middle[0];
    const dy = y - view.middle[1];
    let stretch = 1;
    for (let round = 0; round < 4; round++) {
      const ux = dx / stretch;
      const uy = dy / stretch;
      stretch = 1 + (view.bend * (ux * ux + uy * uy)) / view.reach ** 2;
    }
    const ux = view.middle[0] + dx / stretch;
    const uy = view.middle[1] + dy / stretch;
    const w = inverse[6] * ux + inverse[7] * uy + inverse[8];
    return [
      (inverse[0] * ux + inverse[1] * uy + inverse[2]) / w,
      (inverse[3] * ux + inverse[4] * uy + inverse[5]) / w,
    ];
  };
}
