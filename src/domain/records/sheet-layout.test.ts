import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { PAPERS, traySheetLayout } from '../../core/photo/sheet-layout.ts';
import { sheetLayoutSchema } from './sheet-layout.ts';

describe('sheetLayoutSchema', () => {
  const page = readFileSync(new URL('../../../docs/photo.md', import.meta.url), 'utf8');
  const board = JSON.parse(/```json board\n([\s\S]*?)```/.exec(page)?.[1] ?? 'null');

  it('takes the board of docs/photo.md, and the printed sheets', () => {
    expect(sheetLayoutSchema.parse(board)).toEqual(board);
    for (const paper of PAPERS)
      expect(sheetLayoutSchema.parse(traySheetLayout(paper))).toBeDefined();
  });

  it.each([
    ['one marker', { ...board, markers: board.markers.slice(0, 1) }],
    ['a marker twice', { ...board, markers: [board.markers[0], board.markers[0]] }],
    ['an unknown marker', { ...board, markers: [{ ...board.markers[0], id: 64 }] }],
    ['a key nobody knows', { ...board, colour: 'white' }],
    ['no size', { ...board, widthMm: 0 }],
  ])('refuses %s', (_, layout) => {
    expect(sheetLayoutSchema.safeParse(layout).success).toBe(false);
  });
});
