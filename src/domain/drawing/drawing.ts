/** A face of the type that drawings are set in. */
export type Face = 'serif' | 'sans' | 'bold';

/** One thing on a drawing; x and y from the top left, text at its baseline. */
export type DrawnThing =
  | {
      readonly kind: 'rect';
      readonly x: number;
      readonly y: number;
      readonly w: number;
      readonly h: number;
      readonly fill: string;
    }
  | {
      readonly kind: 'frame';
      readonly x: number;
      readonly y: number;
      readonly w: number;
      readonly h: number;
      readonly line: number;
      readonly stroke: string;
    }
  | {
      readonly kind: 'path';
      /** SVG path data in its own units, moved and scaled. */
      readonly d: string;
      readonly x: number;
      readonly y: number;
      readonly scale: number;
      readonly fill: string;
    }
  | {
      readonly kind: 'text';
      readonly text: string;
      readonly x: number;
      readonly y: number;
      readonly size: number;
      readonly face: Face;
      readonly fill: string;
      readonly align?: 'left' | 'right' | 'centre';
    };

/** A picture or a page; of a page one unit is a millimetre. */
export interface Drawing {
  readonly width: number;
  readonly height: number;
  readonly background: string;
  readonly things: readonly DrawnThing[];
}

/** How wide texts are set, for layouts. */
export interface Measure {
  width(text: string, size: number, face: Face): number;
}

/** Neutral greys of the frame, by lightness; only clay has a colour. */
export const GREY = {
  paper: '#f9f9f9',
  bench: '#ababab',
  quiet: '#525252',
  text: '#181818',
  white: '#ffffff',
} as const;

/** A text cut with an ellipsis where it would be wider. */
export function fitted(
  measure: Measure,
  text: string,
  size: number,
  face: Face,
  width: number,
): string {
  if (measure.width(text, size, face) <= width) return text;
  const letters = [...text];
  while (letters.length > 1 && measure.width(`${letters.join('')}…`, size, face) > width) {
    letters.pop();
  }
  return `${letters.join('').trimEnd()}…`;
}

/** The largest size, at most the one asked, at which a text fits. */
export function sizeToFit(
  measure: Measure,
  text: string,
  size: number,
  face: Face,
  width: number,
  least: number,
): number {
  const needed = measure.width(text, size, face);
  return needed <= width ? size : Math.max(least, (0.99 * size * width) / needed);
}

/** A text in lines of at most a width; a word that is wider alone has a line of its own. */
export function wrapped(
  measure: Measure,
  text: string,
  size: number,
  face: Face,
  width: number,
): string[] {
  const lines: string[] = [];
  for (const paragraph of text.split('\n')) {
    let line = '';
    for (const word of paragraph.split(/\s+/).filter((one) => one !== '')) {
      const longer = line === '' ? word : `${line} ${word}`;
      if (line !== '' && measure.width(longer, size, face) > width) {
        lines.push(line);
        line = word;
      } else line = longer;
    }
    if (line !== '') lines.push(line);
  }
  return lines;
}

/** Modules of a QR code as one thing; x, y and side are those of the code without its quiet zone. */
export function qrThing(
  modules: { readonly size: number; readonly data: ArrayLike<number> },
  x: number,
  y: number,
  side: number,
): DrawnThing {
  let d = '';
  for (let row = 0; row < modules.size; row++) {
    for (let column = 0; column < modules.size; column++) {
      if (!modules.data[row * modules.size + column]) continue;
      let run = 1;
      while (column + run < modules.size && modules.data[row * modules.size + column + run]) run++;
      d += `M${column} ${row}h${run}v1h${-run}z`;
      column += run - 1;
    }
  }
  return { kind: 'path', d, x, y, scale: side / modules.size, fill: '#000000' };
}
