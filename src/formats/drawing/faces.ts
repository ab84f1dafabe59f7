import * as fontkit from 'fontkit';
import { itemAt } from '../../core/numeric/pairs.ts';
import type { Face, Measure } from '../../domain/drawing/drawing.ts';

/** The bytes of each face, the usual letters first, then files with further letters. */
export type FaceFiles = Readonly<Record<Face | 'digits', readonly Uint8Array[]>>;

type Font = ReturnType<typeof fontkit.create> & {
  readonly unitsPerEm: number;
  hasGlyphForCodePoint(code: number): boolean;
  layout(
    text: string,
    features?: readonly string[],
  ): {
    readonly glyphs: readonly { readonly path: { toSVG(): string } }[];
    readonly positions: readonly {
      readonly xAdvance: number;
      readonly xOffset: number;
      readonly yOffset: number;
    }[];
  };
};

/** A stretch of text in one font, with where it begins. */
export interface TextRun {
  readonly text: string;
  readonly font: number;
  readonly face: Face | 'digits';
  readonly x: number;
}

export interface Faces extends Measure {
  /** A text in stretches of one font each. */
  runs(text: string, size: number, face: Face): readonly TextRun[];
  /** The text as an outline, its baseline at 0, 0. */
  outline(text: string, size: number, face: Face): string;
  file(face: Face | 'digits', font: number): Uint8Array;
}

/** Digits of the sans slash their zero, so that digits come from the serif, of one height and width. */
const FEATURES = ['lnum', 'kern'];

/** Emoji, with what joins and colours them and the space before; © and ™ are among them too. */
const PICTURES = /\s?(?:\p{Extended_Pictographic}|\p{Emoji_Modifier}|\u200d|\ufe0f)+/gu;

/**
 * Opens the faces; a letter that no file has is drawn as the empty box of the first. Emoji that no file has
 * are left out: names typed on a phone have them.
 */
export function openFaces(files: FaceFiles): Faces {
  const opened = new Map<string, Font>();
  const fontOf = (face: Face | 'digits', index: number): Font => {
    const key = `${face} ${index}`;
    let font = opened.get(key);
    if (font === undefined) {
      font = fontkit.create(Buffer.from(itemAt(files[face], index))) as unknown as Font;
      opened.set(key, font);
    }
    return font;
  };

  const isDrawn = (letter: string) =>
    files.sans.some((_, i) => fontOf('sans', i).hasGlyphForCodePoint(letter.codePointAt(0)!));

  const runs = (whole: string, size: number, face: Face): TextRun[] => {
    const text = whole.replace(PICTURES, (some) => ([...some.trim()].some(isDrawn) ? some : ''));
    const found: { text: string; face: Face | 'digits'; font: number }[] = [];
    for (const letter of text) {
      const own = face === 'serif' || !/\d/.test(letter) ? face : 'digits';
      const code = letter.codePointAt(0)!;
      const index = files[own].findIndex((_, i) => fontOf(own, i).hasGlyphForCodePoint(code));
      const font = Math.max(0, index);
      const last = found.at(-1);
      if (last !== undefined && last.face === own && last.font === font) last.text += letter;
      else found.push({ text: letter, face: own, font });
    }
    let x = 0;
    return found.map((run) => {
      const begins = x;
      x += widthOf(run, size);
      return { ...run, x: begins };
    });
  };

  const widthOf = (
    run: { readonly text: string; readonly face: Face | 'digits'; readonly font: number },
    size: number,
  ) => {
    const font = fontOf(run.face, run.font);
    const { positions } = font.layout(run.text, FEATURES);
    return (positions.reduce((sum, p) => sum + p.xAdvance, 0) * size) / font.unitsPerEm;
  };

  return {
    runs,
    file: (face, font) => itemAt(files[face], font),
    width(text, size, face) {
      const all = runs(text, size, face);
      const last = all.at(-1);
      return last === undefined ? 0 : last.x + widthOf(last, size);
    },
    outline(text, size, face) {
      let d = '';
      for (const run of runs(text, size, face)) {
        const font = fontOf(run.face, run.font);
        const scale = size / font.unitsPerEm;
        const { glyphs, positions } = font.layout(run.text, FEATURES);
        let x = run.x;
        glyphs.forEach((glyph, i) => {
          const { xAdvance, xOffset, yOffset } = itemAt(positions, i);
          d += placed(glyph.path.toSVG(), scale, x + xOffset * scale, -yOffset * scale);
          x += xAdvance * scale;
        });
      }
      return d;
    },
  };
}

/** A glyph's outline, whose y goes up, at its place on a drawing, whose y goes down. */
function placed(d: string, scale: number, x: number, y: number): string {
  return d.replace(/([A-Za-z])([^A-Za-z]*)/g, (_, letter: string, numbers: string) => {
    const values = numbers.match(/-?\d*\.?\d+(?:e-?\d+)?/g) ?? [];
    const moved = values.map((value, i) =>
      (i % 2 === 0 ? x + Number(value) * scale : y - Number(value) * scale).toFixed(2),
    );
    return letter + moved.join(' ');
  });
}
