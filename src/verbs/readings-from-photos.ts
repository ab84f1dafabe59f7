import type { Lab } from '../core/colour/triples.ts';
import { formatRecipe, type Recipe } from '../core/notation/notation.ts';
import { ownSpread } from '../core/photo/own-spread.ts';
import type { SheetLayout } from '../core/photo/sheet-layout.ts';
import type { ReadOne } from './photo-tiles.ts';

/**
 * Tiles read in photos as the text of a CSV file that learning takes, and how many readings it holds; poor
 * ones are left out.
 * Shape:   `recipes` in the order of the places of the sheet
 */
export function readingsFromPhotos(
  photos: readonly ReadOne[],
  layouts: readonly SheetLayout[],
  recipes: readonly Recipe[],
): { readonly text: string; readonly readings: number } {
  const rows = rowsOf(photos, layouts, recipes);
  return { text: csvOf(rows), readings: rows.length };
}

interface Row {
  readonly tile: string;
  readonly of: string;
  readonly lab: Lab;
  readonly spread: number;
  readonly photo: string;
  readonly kind: 'measured' | 'rough';
}

/** Readings worth keeping: the poor ones are left out, and said by their marks. */
function rowsOf(
  photos: readonly ReadOne[],
  layouts: readonly SheetLayout[],
  recipes: readonly Recipe[],
): Row[] {
  return photos.flatMap(({ file, read: { tiles, covariance, rough, sheet } }) =>
    tiles.flatMap((tile, i) => {
      if (tile.quality === 'poor') return [];
      const places = (sheet?.layout ?? layouts[0])?.places ?? [];
      const at = places.findIndex(({ name }) => name === tile.name);
      const recipe = recipes[at];
      const of = recipe === undefined ? quoted(tile.name) : formatRecipe(recipe);
      return [
        {
          tile: tile.name,
          of,
          lab: tile.lab,
          spread: ownSpread(covariance, tiles.length, i),
          photo: file,
          kind: rough === undefined ? ('measured' as const) : ('rough' as const),
        },
      ];
    }),
  );
}

/** A place number is no name of a clay by itself: in quotes it is. */
function quoted(name: string): string {
  return `"${name.replaceAll('"', '""')}"`;
}

function csvOf(rows: readonly Row[]): string {
  const cell = (text: string) => (/[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
  const lines = rows.map(({ tile, of, lab, spread, photo, kind }) =>
    [
      cell(tile),
      cell(of),
      ...lab.map((v) => v.toFixed(2)),
      spread.toFixed(2),
      cell(photo),
      kind,
    ].join(','),
  );
  return ['tile,of,L,a,b,spread,photo,kind', ...lines, ''].join('\n');
}
