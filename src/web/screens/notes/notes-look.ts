import {
  type BlockLine,
  type MixLine,
  readShorthandBlock,
} from '../../../core/notation/shorthand-block.ts';
import type { VocabularyWords } from '../../../core/notation/shorthand-vocabulary.ts';
import { type UnknownLetter, unknownLetters } from './letters.ts';

/** Lines, errors of a line, and letters that the screen draws; a page of 1 MB has many more. */
export const NOTES_SHOWN = { lines: 200, errors: 5, letters: 100 } as const;

export interface NotesAsk {
  readonly text: string;
  readonly words: VocabularyWords;
}

/** What the screen shows of notes. */
export interface NotesLook {
  readonly lines: readonly BlockLine[];
  /** Lines with something in them that are not shown. */
  readonly more: number;
  /** How many lines are recipes. */
  readonly mixes: number;
  readonly letters: readonly UnknownLetter[];
}

/** Reads notes for the screen; the answer stays small, however long the notes are. */
export function lookAtNotes({ text, words }: NotesAsk): NotesLook {
  const read = readShorthandBlock(text, words);
  const filled = read.lines.filter(({ kind }) => kind !== 'blank');
  const lines = filled
    .slice(0, NOTES_SHOWN.lines)
    .map((line) =>
      line.kind === 'errors' ? { ...line, errors: line.errors.slice(0, NOTES_SHOWN.errors) } : line,
    );
  return {
    lines,
    more: filled.length - lines.length,
    mixes: read.mixes,
    letters: unknownLetters(read).slice(0, NOTES_SHOWN.letters),
  };
}

/** What is saved of notes, and the lines that stay because they cannot be read. */
export interface NotesToSave {
  readonly mixes: readonly MixLine[];
  readonly left: string;
}

export function notesToSave({ text, words }: NotesAsk): NotesToSave {
  const mixes: MixLine[] = [];
  const left: string[] = [];
  for (const line of readShorthandBlock(text, words).lines) {
    if (line.kind === 'mix') mixes.push(line);
    else if (line.kind === 'errors') left.push(line.raw);
  }
  return { mixes, left: left.join('\n') };
}
