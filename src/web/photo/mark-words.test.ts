import { describe, expect, it } from 'vitest';
import { sharedDoubts, shortDoubts } from './mark-words.ts';
import type { PhotoRow } from './photo-rows.ts';

const row = (name: string, worth: PhotoRow['worth'], marks: readonly string[], tray = 1) =>
  ({
    key: `${tray}/${name}`,
    tray,
    name,
    worth,
    reading: { disagree: false },
    shots: [{ tile: { marks: marks.map((mark) => ({ mark, reason: `${mark} in full` })) } }],
  }) as unknown as PhotoRow;

describe('doubts of many tiles', () => {
  const rows = [
    row('1', 1, ['light unsure']),
    row('2', 1, ['light unsure', 'gloss']),
    row('3', 1, ['light unsure']),
    row('4', 2, []),
    row('6', 0, ['light unsure', 'clipped']),
  ];

  it('that several have in common are said once, with the tiles they are about', () => {
    const shared = sharedDoubts(rows, false);
    expect(shared.map(({ mark }) => mark)).toEqual(['light unsure']);
    expect(shared[0].sentence).toMatch(/^Tiles 1–3, 6: the light is uneven/);
    expect(sharedDoubts(rows.slice(0, 3), false)[0].sentence).toMatch(/^All 3 tiles: /);
    expect(sharedDoubts([row('1', 1, ['gloss']), row('2', 1, ['gloss'])], false)).toEqual([]);
    const apart = rows.map((one, i) => ({ ...one, tray: i }));
    expect(sharedDoubts(apart, true)[0].sentence).toMatch(/^Tiles 0\/1, 1\/2, 2\/3, 4\/6: /);
  });

  it('are not repeated in a row, except where they are why the tile is left out', () => {
    const shared = sharedDoubts(rows, false);
    expect(rows.map((one) => shortDoubts(one, shared))).toEqual([
      '',
      'shines',
      '',
      '',
      'light unsure, too bright',
    ]);
    expect(shortDoubts(rows[0], [])).toBe('light unsure');
  });
});
