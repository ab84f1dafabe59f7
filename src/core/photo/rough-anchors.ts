import type { Lab } from '../colour/triples.ts';
import type { Seen } from './camera-model.ts';
import type { FoundSheet } from './find-sheet.ts';
import { lightAgainst, type PaperLight, paperAt } from './paper-light.ts';
import type { Picture, PictureColour } from './picture.ts';
import type { Point } from './plane-view.ts';
import { tileArea } from './tile-area.ts';
import type { unchartedColours } from './uncharted-colours.ts';

/** What can balance a photo without a chart: control tiles, a grey card, white paper. */
export function roughAnchors(
  picture: Picture,
  colour: PictureColour,
  sheet: FoundSheet | undefined,
  paper: PaperLight | undefined,
  reference: Point,
  {
    controls,
    looked,
  }: {
    readonly controls: readonly { readonly name: string; readonly lab: Lab }[];
    readonly looked: readonly { readonly name: string; readonly seen: Seen }[];
  },
): Parameters<typeof unchartedColours>[1] {
  const known = controls.flatMap(({ name, lab }) => {
    const tile = looked.find((one) => one.name === name);
    return tile === undefined ? [] : [{ seen: tile.seen, lab }];
  });
  if (sheet === undefined || paper === undefined) return { known };
  const level = paperAt(paper, sheet.layout, reference);
  const card = sheet.layout.greyCard;
  let greyCard: [number, number, number] | undefined;
  if (card !== undefined) {
    const middle: Point = [card.at[0] + card.widthMm / 2, card.at[1] + card.heightMm / 2];
    const seen = tileArea(picture, colour, sheet.view, middle, card.widthMm * 1.3, false);
    if (typeof seen === 'object' && seen.outlineSeen && seen.light[1] < 0.7 * level[1]) {
      const light = lightAgainst(paper, sheet.layout, middle, reference);
      greyCard = [0, 1, 2].map((c) => seen.light[c] / light[c]) as [number, number, number];
    }
  }
  return {
    known,
    paper: level,
    ...(greyCard === undefined ? {} : { greyCard }),
  };
}
