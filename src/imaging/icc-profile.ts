import type { Xyz } from '../core/colour/triples.ts';
import { curveTable } from '../core/photo/encoding.ts';
import type { PictureColour } from '../core/photo/picture.ts';

export interface ReadProfile {
  readonly name: string;
  /** Absent where the type of profile cannot be used: tables, other colour models. */
  readonly colour?: PictureColour;
}

/** Larger than any real profile in a photo; curves are read value by value. */
const MOST_BYTES = 16 * 1024 * 1024;
const MOST_TAGS = 200;

/**
 * The colours of a photo's codes, from the profile inside the photo.
 * Shape:   bytes of the profile, top code of the picture -> name, and curves with a matrix to XYZ (D50)
 * Refuses: nothing: a damaged profile, or one with tables, has no `colour`, and the caller reports that
 * Source:  [ICC] sections 7.2 (header), 9.2 (tags), 10.6 (curveType), 10.18 (parametricCurveType)
 */
export function readProfile(bytes: Uint8Array, top: 255 | 65535): ReadProfile {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.length < 132 || bytes.length > MOST_BYTES) return { name: 'damaged' };
  const tags = tagsOf(view);
  const name = nameOf(view, tags) ?? 'unnamed';
  if (text4(view, 16) !== 'RGB ' || text4(view, 20) !== 'XYZ ') return { name };
  const channel = (letter: 'r' | 'g' | 'b') => {
    const xyz = xyzOf(view, tags.get(`${letter}XYZ`));
    const curve = curveOf(view, tags.get(`${letter}TRC`));
    if (xyz === undefined || curve === undefined) return undefined;
    const table = curveTable(top, curve);
    return table.every(Number.isFinite) ? { xyz, table } : undefined;
  };
  const [red, green, blue] = [channel('r'), channel('g'), channel('b')];
  if (red === undefined || green === undefined || blue === undefined) return { name };
  const toXyz = ([0, 1, 2] as const).flatMap((i) => [red.xyz[i], green.xyz[i], blue.xyz[i]]);
  return { name, colour: { curves: [red.table, green.table, blue.table], toXyz } };
}

interface Tag {
  readonly at: number;
  readonly size: number;
}

function tagsOf(view: DataView): Map<string, Tag> {
  const tags = new Map<string, Tag>();
  const count = Math.min(MOST_TAGS, view.getUint32(128));
  for (let i = 0; i < count; i++) {
    const entry = 132 + 12 * i;
    if (entry + 12 > view.byteLength) break;
    const at = view.getUint32(entry + 4);
    const size = view.getUint32(entry + 8);
    if (size >= 8 && at + size <= view.byteLength) tags.set(text4(view, entry), { at, size });
  }
  return tags;
}

function text4(view: DataView, at: number): string {
  return String.fromCharCode(...[0, 1, 2, 3].map((i) => view.getUint8(at + i)));
}

function fixed16(view: DataView, at: number): number {
  return view.getInt32(at) / 65536;
}

function xyzOf(view: DataView, tag: Tag | undefined): Xyz | undefined {
  if (tag === undefined || tag.size < 20 || text4(view, tag.at) !== 'XYZ ') return undefined;
  return [fixed16(view, tag.at + 8), fixed16(view, tag.at + 12), fixed16(view, tag.at + 16)];
}

/** Number of parameters of a parametric curve by type, 0 to 4. */
const PARAMETERS = [1, 3, 4, 5, 7];

function curveOf(view: DataView, tag: Tag | undefined): ((v: number) => number) | undefined {
  if (tag === undefined || tag.size < 12) return undefined;
  const kind = text4(view, tag.at);
  if (kind === 'curv') {
    const count = view.getUint32(tag.at + 8);
    if (count === 0) return (v) => v;
    if (12 + 2 * count > tag.size) return undefined;
    if (count === 1) {
      const gamma = view.getUint16(tag.at + 12) / 256;
      return (v) => v ** gamma;
    }
    return (v) => {
      const at = v * (count - 1);
      const below = Math.min(count - 2, Math.floor(at));
      const low = view.getUint16(tag.at + 12 + 2 * below);
      const high = view.getUint16(tag.at + 14 + 2 * below);
      return (low + (at - below) * (high - low)) / 65535;
    };
  }
  if (kind !== 'para') return undefined;
  const form = view.getUint16(tag.at + 8);
  const needed = PARAMETERS[form];
  if (needed === undefined || 12 + 4 * needed > tag.size) return undefined;
  const [g = 1, a = 1, b = 0, c = 0, d = 0, e = 0, f = 0] = Array.from({ length: needed }, (_, i) =>
    fixed16(view, tag.at + 12 + 4 * i),
  );
  const power = (v: number) => Math.max(0, a * v + b) ** g;
  switch (form) {
    case 0:
      return power;
    case 1:
      return (v) => (a !== 0 && v >= -b / a ? power(v) : 0);
    case 2:
      return (v) => (a !== 0 && v >= -b / a ? power(v) + c : c);
    case 3:
      return (v) => (v >= d ? power(v) : c * v);
    default:
      return (v) => (v >= d ? power(v) + e : c * v + f);
  }
}

/** The description: plain in version 2, in many languages in version 4. */
function nameOf(view: DataView, tags: Map<string, Tag>): string | undefined {
  const tag = tags.get('desc');
  if (tag === undefined) return undefined;
  const kind = text4(view, tag.at);
  let name = '';
  if (kind === 'desc') {
    const length = Math.min(view.getUint32(tag.at + 8), tag.size - 12, 100);
    for (let i = 0; i < length; i++) name += String.fromCharCode(view.getUint8(tag.at + 12 + i));
  } else if (kind === 'mluc' && tag.size >= 28) {
    const length = view.getUint32(tag.at + 20);
    const from = view.getUint32(tag.at + 24);
    const end = Math.min(from + Math.min(length, 200), tag.size - 1);
    for (let i = from; i + 1 < end + 1; i += 2) {
      name += String.fromCharCode(view.getUint16(tag.at + i));
    }
  }
  const plain = name.replace(/[^\x20-\x7e]/g, '').trim();
  return plain === '' ? undefined : plain;
}
