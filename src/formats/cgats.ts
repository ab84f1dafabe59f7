import type { Basis } from '../core/mixes/mix-graph.ts';
import { textFromBytes } from '../domain/text-file.ts';
import { unreadable } from '../domain/unreadable-file.ts';
import { cgatsColumns } from './cgats-columns.ts';
import { type CgatsDocument, cgatsDocument, keywordOf } from './cgats-document.ts';
import { type ColumnName, columnNamed } from './columns.ts';
import type { Cell } from './delimited.ts';
import { type ReadingsRead, readingsFrom } from './reading-rows.ts';
import { geometryFrom } from './words.ts';

/**
 * Readings from a CGATS.17 / ISO 28178 text as docs/formats.md describes it.
 * Shape:   bytes of a whole file -> one reading for each data set, in order
 * Refuses: whatever would be a guess; a file is read completely or not at all -> file-unreadable
 *          (bad-input), naming file, line, field, what was found and what was expected
 */
export function readReadingsCgats(bytes: Uint8Array, fileName: string): ReadingsRead {
  return readingsFromCgatsText(textFromBytes(bytes, fileName), fileName);
}

/** The same from text that is already decoded. */
export function readingsFromCgatsText(text: string, file: string, basis?: Basis): ReadingsRead {
  const document = cgatsDocument(text, file);
  const columns = cgatsColumns(document, file);
  const hasLab = columns.named.has('L');
  const fileWide = stated(document, hasLab, file);
  if (columns.named.has('thicknessMm') || fileWide.has('thicknessMm')) {
    const backing = keywordOf(document.keywords, 'SAMPLE_BACKING', file);
    if (backing !== undefined) fileWide.set('backing', { ...backing, name: 'SAMPLE_BACKING' });
  }
  const notes: string[] = [];
  if (!fileWide.has('geometry') && !columns.named.has('geometry')) {
    // ISO 13655, by which files of this kind are measured, allows 45:0 and 0:45 only.
    fileWide.set('geometry', { text: 'excluded', line: document.format.line, name: GEOMETRY });
    notes.push(
      `${file}: there is no ${GEOMETRY}, so the geometry is read as 45:0 (gloss excluded).`,
    );
  }
  const norm = normOf(document, file);
  const read = readingsFrom({
    file,
    columns,
    rows: document.sets,
    separator: 'space',
    fileWide,
    ...(norm === undefined ? {} : { norm }),
    ...(basis === undefined ? {} : { basis }),
  });
  return { readings: read.readings, notes: [...notes, ...read.notes] };
}

const GEOMETRY = 'MEASUREMENT_GEOMETRY';

type Stated = Map<ColumnName, Cell & { readonly name: string }>;

/** Values that the keywords give for every set. */
function stated({ keywords }: CgatsDocument, hasLab: boolean, file: string): Stated {
  const fileWide: Stated = new Map();
  for (const name of keywords.keys()) {
    const column = columnNamed(name);
    const own = column !== undefined && !['tile', 'of', 'L', 'a', 'b', 'effect'].includes(column);
    const cell = own ? keywordOf(keywords, name, file) : undefined;
    if (cell !== undefined && cell.text !== '' && own) fileWide.set(column, { ...cell, name });
  }
  const geometry = keywordOf(keywords, GEOMETRY, file);
  if (geometry !== undefined && geometry.text !== '') {
    const text = geometryFrom(geometry.text) ?? geometryWithin(geometry.text) ?? geometry.text;
    fileWide.set('geometry', { ...geometry, text, name: GEOMETRY });
  }
  if (!hasLab) return fileWide;
  const weighting = (keywords.get('WEIGHTING_FUNCTION') ?? []).map((cell) => ({
    ...cell,
    name: 'WEIGHTING_FUNCTION',
  }));
  const source = keywordOf(keywords, 'MEASUREMENT_SOURCE', file);
  if (source !== undefined) weighting.push({ ...source, name: 'MEASUREMENT_SOURCE' });
  for (const [column, names, pattern] of LAB_KEYWORDS) {
    for (const name of names) {
      const cell = keywordOf(keywords, name, file);
      if (cell !== undefined && cell.text !== '') fileWide.set(column, { ...cell, name });
    }
    for (const cell of weighting) {
      const text = pattern.exec(cell.text.slice(0, 200))?.[1];
      if (text !== undefined && !fileWide.has(column)) fileWide.set(column, { ...cell, text });
    }
  }
  return fileWide;
}

/** Where the light and observer of a Lab are given: in their own keyword, or inside another. */
const LAB_KEYWORDS = [
  [
    'light',
    ['ILLUMINANT', 'ILLUMINATION_NAME'],
    /ILLUMINA(?:NT|TION)(?:\s*[,=]\s*|\s+)([A-Z][A-Z0-9-]*)/i,
  ],
  ['observer', ['OBSERVER_ANGLE'], /OBSERVER(?:ANGLE)?(?:\s*[,=]\s*|\s+)(\d+)/i],
] as const satisfies readonly (readonly [ColumnName, readonly string[], RegExp])[];

/** A known geometry among other words, as in "0/45 ring, no filter". */
function geometryWithin(text: string): string | undefined {
  const found = text
    .slice(0, 200)
    .split(/[\s,;()]+/)
    .map((word) => geometryFrom(word))
    .filter((word) => word !== undefined);
  return new Set(found).size === 1 ? found[0] : undefined;
}

function normOf({ keywords }: CgatsDocument, file: string): number | undefined {
  const cell = keywordOf(keywords, 'SPECTRAL_NORM', file);
  if (cell === undefined) return undefined;
  const norm = Number(cell.text);
  if (norm === 1 || norm === 100) return norm;
  throw unreadable({
    file,
    line: cell.line,
    name: 'SPECTRAL_NORM',
    found: cell.text,
    expected: 'SPECTRAL_NORM 1 or 100',
    hint: 'Export reflectances as 0-1 or as per cent.',
  });
}
