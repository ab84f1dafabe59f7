import type { Effect } from '../core/clay/effect-offset.ts';
import { AppError } from '../core/errors.ts';
import { parseRecipe, type Recipe, sharesOf } from '../core/notation/notation.ts';
import { READING_DEFAULTS, type Reading } from '../domain/records/reading.ts';
import { KIND_WIDTHS, type ReadingKind } from '../domain/records/reading-kind.ts';
import { placed, unreadable } from '../domain/unreadable-file.ts';
import { cellOf, type Row } from './delimited.ts';
import { numberFrom } from './numbers.ts';
import type { WrittenSpectrum } from './reflectance-scale.ts';
import { RowCells } from './row-cells.ts';
import {
  backingFrom,
  basisFrom,
  effectFrom,
  geometryFrom,
  kindFrom,
  lightFrom,
  observerFrom,
  scaleFrom,
  stateFrom,
  yesNoFrom,
} from './words.ts';

/** A row without the scale of its spectrum, which the whole file decides. */
export interface ReadingDraft extends WrittenSpectrum {
  readonly reading: Omit<Reading, 'spectrum'>;
  readonly row: Row;
  /** Scale of the spectrum, where the row states it. */
  readonly norm?: number;
}

/** One row of a table of readings. */
export class RowReader extends RowCells {
  draft(): ReadingDraft {
    const { row } = this;
    const { file } = this.table;
    const lab = this.lab();
    const values = this.band();
    if (lab === undefined && values.length === 0) {
      throw unreadable({
        file,
        line: row.line,
        saw: 'a row without a colour',
        expected: 'L, a and b, or a spectrum',
        hint: 'Fill in the colour, or remove the row until you have measured the tile.',
      });
    }
    const of = this.recipe();
    const thicknessMm = this.number('thicknessMm', 'millimetres such as 3');
    const backing = this.backing(thicknessMm);
    const translucent = this.word('translucent', yesNoFrom, 'yes or no');
    const photo = this.cell('photo');
    const checked = this.word('checked', yesNoFrom, 'yes or no');
    const kind =
      this.word('kind', kindFrom, 'measured, rough, by eye, claimed or borrowed') ??
      READING_DEFAULTS.kind;
    const effect = this.effect(of);
    const bare = values.length === 0;
    const reading = {
      tile: this.oneLine(this.needed('tile')),
      of,
      kind,
      basis:
        this.word('basis', basisFrom, 'volume or weight') ??
        this.table.basis ??
        READING_DEFAULTS.basis,
      state: this.word('state', stateFrom, 'raw or baked') ?? READING_DEFAULTS.state,
      ...(lab === undefined ? {} : { lab }),
      spread: this.number('spread', 'CIELAB units such as 0.5') ?? usualSpread(kind, bare),
      geometry:
        this.word('geometry', geometryFrom, 'included or excluded (also di:8, de:8, 45:0)') ??
        usualGeometry(kind, bare),
      ...(thicknessMm === undefined ? {} : { thicknessMm }),
      ...(backing === undefined ? {} : { backing }),
      ...(translucent === undefined ? {} : { translucent }),
      ...(photo === undefined ? {} : { photo: this.oneLine(photo) }),
      ...(effect === undefined ? {} : { effect }),
      partsSpread:
        this.number('partsSpread', 'a share such as 0.03') ??
        (sharesOf(of).length === 1
          ? READING_DEFAULTS.partsSpreadOfClay
          : READING_DEFAULTS.partsSpreadOfMix),
      ...(checked === undefined ? {} : { checked }),
      place: { file, line: row.line },
    };
    const norm = this.word('scale', scaleFrom, '0-1 or 0-100');
    return {
      reading,
      row,
      line: row.line,
      values,
      recipe: mixKey(of),
      included: this.cell('geometry') !== undefined && reading.geometry === 'included',
      ...(lab === undefined ? {} : { lightness: lab.values[0] }),
      ...(norm === undefined ? {} : { norm }),
    };
  }

  private lab(): Reading['lab'] {
    const cells = (['L', 'a', 'b'] as const).map((name) => this.cell(name));
    const light = this.word('light', lightFrom, 'D50, D65, A, FL11 or LED-B3');
    const observer = this.word('observer', observerFrom, '2 or 10');
    if (cells.every((cell) => cell === undefined)) return undefined;
    const axis = (name: 'L' | 'a' | 'b') => {
      this.needed(name);
      const value = this.number(name, 'a number such as 45.2');
      if (value === undefined) throw new TypeError('a cell with text gave no number');
      return value;
    };
    return {
      values: [axis('L'), axis('a'), axis('b')],
      light: light ?? READING_DEFAULTS.light,
      observer: observer ?? READING_DEFAULTS.observer,
    };
  }

  /** Values as written, one for each band; none where the row has no spectrum. */
  private band(): number[] {
    const { bands } = this.table.columns;
    if (bands.every(({ index }) => cellOf(this.row, index).text === '')) return [];
    return bands.map(({ index, name }) => {
      const cell = cellOf(this.row, index);
      const value = numberFrom(cell.text, this.decimal);
      if (value !== undefined) return value;
      const at = { ...cell, file: this.table.file, column: index + 1, name };
      throw this.unlike(
        at,
        'a reflectance such as 0.35',
        'Fill the whole spectrum of a row, or leave all of it empty.',
      );
    });
  }

  private recipe(): Recipe {
    const cell = this.needed('of');
    try {
      return parseRecipe(cell.text);
    } catch (error) {
      throw error instanceof AppError ? placed(error, cell) : error;
    }
  }

  private backing(thicknessMm: number | undefined): number | undefined {
    const read = (text: string) => backingFrom(text, this.decimal);
    const backing = this.word('backing', read, 'white, black, a number 0-1 or a per cent');
    if (thicknessMm !== undefined) return backing ?? READING_DEFAULTS.backing;
    if (backing === undefined) return undefined;
    throw this.unlike(
      this.needed('backing'),
      'a thickness beside it',
      'Give thicknessMm; without a thickness the tile counts as opaque and no backing shows.',
    );
  }

  private effect(of: Recipe): Effect | undefined {
    const effect = this.word('effect', effectFrom, 'pearl, metallic, glitter or fluorescent');
    if (effect === undefined || sharesOf(of).length === 1) return effect;
    throw this.unlike(
      this.needed('effect'),
      'nothing, as this tile is a mix',
      'Give the effect on a tile of the special clay alone. Mixes with that clay follow from there.',
    );
  }
}

/** The same text for the same mix in other words, amounts or order. */
function mixKey(of: Recipe): string {
  const shares = sharesOf(of).map(({ key, share }) => `${key} ${share.toPrecision(5)}`);
  return shares.sort().join(' + ');
}

/** Whether a reading that does not state it includes the gloss: only an instrument's Lab may be either. */
function usualGeometry(kind: ReadingKind, bare: boolean): Reading['geometry'] {
  if (!bare) return READING_DEFAULTS.geometryOfSpectrum;
  return kind === 'measured' ? READING_DEFAULTS.geometryOfLab : READING_DEFAULTS.geometryOfEye;
}

function usualSpread(kind: ReadingKind, bare: boolean): number {
  if (kind !== 'measured') return KIND_WIDTHS[kind].spread;
  return bare ? READING_DEFAULTS.spreadOfLab : READING_DEFAULTS.spreadOfSpectrum;
}
