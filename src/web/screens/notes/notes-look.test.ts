import { describe, expect, it } from 'vitest';
import { lookAtNotes, NOTES_SHOWN, notesToSave } from './notes-look.ts';

const words = {
  shortNames: [
    { word: 'G', clay: 'green' },
    { word: 'Y', clay: 'yellow' },
  ],
};

describe('notes that were pasted', () => {
  it('are shown line by line, with what cannot be read and the letters to choose', () => {
    const text = 'K7: 3G 1Y\n\nK8: 2Q\n// pale\nK9: 1Q 1G';
    const look = lookAtNotes({ text, words });
    expect(look.lines.map(({ line, kind }) => [line, kind])).toEqual([
      [1, 'mix'],
      [3, 'errors'],
      [4, 'remark'],
      [5, 'errors'],
    ]);
    expect(look).toMatchObject({ more: 0, mixes: 1, letters: [{ letters: 'Q', lines: 2 }] });
    const saved = notesToSave({ text, words });
    expect(saved.mixes.map(({ mix }) => mix.code)).toEqual(['K7']);
    expect(saved.left).toBe('K8: 2Q\nK9: 1Q 1G');
  });

  it.each([
    ['good lines', '3 G 1 Y // a note to make the line somewhat longer\n'],
    ['lines of many errors', `${'q, '.repeat(300)}\n`],
    ['lines of one letter', 'q\n'],
  ])('give the page little to draw, however many they are: %s', (_, line) => {
    const look = lookAtNotes({ text: line.repeat(2 ** 20 / line.length), words });
    expect(look.lines).toHaveLength(NOTES_SHOWN.lines);
    expect(look.lines.length + look.more).toBeGreaterThan(1000);
    expect(JSON.stringify(look).length).toBeLessThan(500_000);
  });
});
