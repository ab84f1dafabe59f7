import { expect, it } from 'vitest';
import type { Picture } from './picture.ts';
import { proposeTiles } from './propose-tiles.ts';

const [WIDTH, HEIGHT] = [640, 480];
const TABLE = [150, 148, 144];
const STEEL = [95, 95, 98];

/** Three tiles, and the bowl of a spoon. */
function tilesAndSpoon(): Picture {
  const codes = new Uint8Array(WIDTH * HEIGHT * 3);
  const tiles = [
    { x: 80, y: 80, rgb: [60, 90, 140] },
    { x: 200, y: 90, rgb: [210, 70, 60] },
    { x: 120, y: 300, rgb: [235, 205, 60] },
  ];
  for (let i = 0; i < WIDTH * HEIGHT; i++) {
    const [x, y] = [i % WIDTH, Math.floor(i / WIDTH)];
    const tile = tiles.find((one) => Math.abs(x - one.x) < 20 && Math.abs(y - one.y) < 20);
    const inBowl = Math.hypot((x - 450) / 1.2, y - 240) < 30;
    codes.set(tile?.rgb ?? (inBowl ? STEEL : TABLE), 3 * i);
  }
  return { width: WIDTH, height: HEIGHT, codes };
}

it('tiles are proposed, and the bowl of a spoon is not', () => {
  const places = proposeTiles(tilesAndSpoon(), []).map(({ at }) => at.map(Math.round));
  expect(places).toHaveLength(3);
  expect(places.every(([x]) => x < 300)).toBe(true);
});
