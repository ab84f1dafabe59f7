import type { Point } from '../core/photo/plane-view.ts';
import type { ReadCall } from '../verbs/read.ts';
import { type Given, oneValue, unreadableCall } from './options.ts';

/** The words of `kneadwell read` as a call. */
export function readCallOf(given: Given): ReadCall {
  if (given.operands.length === 0) {
    throw unreadableCall('Which photos? Name at least one file.', 'read');
  }
  const corners = oneValue(given, 'corners');
  const sheet = oneValue(given, 'sheet') ?? 'any';
  if (corners !== undefined && (sheet === 'any' || sheet === 'none')) {
    throw unreadableCall(
      '--corners wants to know which sheet it is: add --sheet A4 or Letter.',
      'read',
    );
  }
  const controls = oneValue(given, 'controls');
  const tiles = oneValue(given, 'tiles');
  const out = oneValue(given, 'out');
  return {
    photos: given.operands,
    sheet,
    chart: chartOf(oneValue(given, 'chart')),
    taps: (given.values.get('tap') ?? []).map(tapOf),
    ...(corners === undefined ? {} : { corners: cornersOf(corners) }),
    ...(controls === undefined ? {} : { controls }),
    ...(tiles === undefined ? {} : { tiles }),
    ...(out === undefined ? {} : { out }),
  };
}

function chartOf(text: string | undefined): ReadCall['chart'] {
  const plain = text?.trim().toLowerCase().replace(/\s+/g, ' ');
  if (plain === undefined || plain === 'from 2014') return 'from 2014';
  if (plain === 'before 2014' || plain === 'none') return plain;
  return { file: text! };
}

function cornersOf(text: string): readonly [Point, Point, Point, Point] {
  const points = text.trim().split(/\s+/).map(pointOf);
  if (points.length === 4 && points.every((p) => p !== undefined)) {
    return points as unknown as readonly [Point, Point, Point, Point];
  }
  throw unreadableCall(
    `--corners is "${text.slice(0, 60)}"; it is four places in pixels, like "80,95 1120,90 1130,1510 75,1500".`,
    'read',
  );
}

function tapOf(text: string): { name: string; at: Point } {
  const at = text.lastIndexOf('@');
  const point = at < 1 ? undefined : pointOf(text.slice(at + 1).trim());
  if (point !== undefined) return { name: text.slice(0, at).trim(), at: point };
  throw unreadableCall(
    `--tap is "${text.slice(0, 60)}"; it is a name and a place in pixels, like "Limpet 1@820,640".`,
    'read',
  );
}

function pointOf(text: string): Point | undefined {
  const parts = /^(\d+(?:\.\d+)?),(\d+(?:\.\d+)?)$/.exec(text);
  return parts === null ? undefined : [Number(parts[1]), Number(parts[2])];
}
