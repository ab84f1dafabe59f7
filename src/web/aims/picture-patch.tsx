import { type KeyboardEvent, type MouseEvent, useEffect, useRef, useState } from 'react';
import { labFromSrgb } from '../../core/colour/display.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { wordsOf } from '../book/change.ts';
import { photoBitmap } from './photo-bitmap.ts';
import '../look/picture.css';

/** A patch of a photo; the region in shares of its width and height. */
export interface Patch {
  readonly lab: Lab;
  readonly region: {
    readonly left: number;
    readonly top: number;
    readonly width: number;
    readonly height: number;
  };
}

/** Side of the averaged square, as a share of the shorter side of the photo. */
const SIDE = 0.03;
const SHOWN_PX = 1400;
const STEP = 0.02;

/** A photo to tap: each tap averages a small square in linear light. Arrow keys move the square, Enter taps. */
export function PicturePatch({
  file,
  label,
  marks,
  onPatch,
  onOpen = () => {},
}: {
  readonly file: File;
  readonly label: string;
  readonly marks: readonly Patch[];
  readonly onPatch: (patch: Patch) => void;
  /** Called once the photo can be tapped. */
  readonly onOpen?: (file: File) => void;
}) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const [cursor, setCursor] = useState({ x: 0.5, y: 0.5, seen: false });
  const [no, setNo] = useState<string | undefined>();
  const [drawn, setDrawn] = useState(false);
  const opened = useRef(onOpen);
  opened.current = onOpen;

  useEffect(() => {
    let left = false;
    setDrawn(false);
    // The error of the photo before must not stay for the next.
    setNo(undefined);
    photoBitmap(file)
      .then((bitmap) => {
        const sheet = canvas.current;
        if (left || sheet === null) return;
        const scale = Math.min(1, SHOWN_PX / Math.max(bitmap.width, bitmap.height));
        sheet.width = Math.round(bitmap.width * scale);
        sheet.height = Math.round(bitmap.height * scale);
        // The browser converts any colour profile of the photo to sRGB here.
        sheet
          .getContext('2d', { colorSpace: 'srgb', willReadFrequently: true })!
          .drawImage(bitmap, 0, 0, sheet.width, sheet.height);
        setNo(undefined);
        setDrawn(true);
        opened.current(file);
      })
      .catch((fault: unknown) => {
        if (!left) setNo(wordsOf(fault));
      });
    return () => {
      left = true;
    };
  }, [file]);

  const take = (x: number, y: number) => {
    const sheet = canvas.current;
    if (sheet === null || !drawn) return;
    const side = Math.max(3, Math.round(SIDE * Math.min(sheet.width, sheet.height)));
    const left = Math.min(sheet.width - side, Math.max(0, Math.round(x * sheet.width - side / 2)));
    const top = Math.min(sheet.height - side, Math.max(0, Math.round(y * sheet.height - side / 2)));
    const { data } = sheet.getContext('2d')!.getImageData(left, top, side, side);
    onPatch({
      lab: meanLab(data),
      region: {
        left: left / sheet.width,
        top: top / sheet.height,
        width: side / sheet.width,
        height: side / sheet.height,
      },
    });
  };
  const onClick = (event: MouseEvent<HTMLElement>) => {
    // A key press comes as a click without a position, so the position of the mark is used.
    if (event.detail === 0) return take(cursor.x, cursor.y);
    const box = event.currentTarget.getBoundingClientRect();
    take((event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height);
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const moves: Readonly<Record<string, readonly [number, number]>> = {
      ArrowLeft: [-STEP, 0],
      ArrowRight: [STEP, 0],
      ArrowUp: [0, -STEP],
      ArrowDown: [0, STEP],
    };
    const move = moves[event.key];
    if (move === undefined) return;
    event.preventDefault();
    const held = (v: number) => Math.min(1, Math.max(0, v));
    setCursor({ x: held(cursor.x + move[0]), y: held(cursor.y + move[1]), seen: true });
  };
  if (no !== undefined) return <p className="field-no">{no}</p>;
  return (
    <button
      type="button"
      className="picture"
      aria-label={label}
      onClick={onClick}
      onKeyDown={onKeyDown}
    >
      <canvas ref={canvas} />
      {cursor.seen ? (
        <span
          className="picture-mark"
          style={{ left: `${100 * cursor.x}%`, top: `${100 * cursor.y}%` }}
        />
      ) : null}
      {marks.map(({ region }) => (
        <span
          key={`${region.left} ${region.top}`}
          className="picture-mark"
          style={{
            left: `${100 * (region.left + region.width / 2)}%`,
            top: `${100 * (region.top + region.height / 2)}%`,
          }}
        />
      ))}
    </button>
  );
}

/** Mean in linear light, so that a speckled patch gets its colour as seen from a distance. */
function meanLab(data: Uint8ClampedArray): Lab {
  const sum = [0, 0, 0];
  const count = data.length / 4;
  for (let i = 0; i < data.length; i += 4) {
    for (let k = 0; k < 3; k++) sum[k] += linearOf(data[i + k] / 255);
  }
  const [r, g, b] = sum.map((v) => encodedOf(v / count));
  return labFromSrgb([r, g, b]);
}

/** IEC 61966-2-1, the curve of sRGB and its inverse. */
function linearOf(v: number): number {
  return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
}

function encodedOf(v: number): number {
  return v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055;
}
