import type { Lab } from '../../core/colour/triples.ts';
import { itemAt } from '../../core/numeric/pairs.ts';
import { type VerdictWord, verdictWord } from '../../core/verdict/verdict.ts';
import { LABEL_FIRST } from '../cautions.ts';
import { commonHeat } from '../clay-of-block.ts';
import { percentInWords } from '../powders-in-words.ts';
import { licenceOf } from './licences.ts';
import { payloadOfMix } from './recipe-payload.ts';
import type { ShareFile, ShareMix } from './share-file.ts';
import { titleOfShared } from './what-leaves.ts';

/** One clay of a recipe on a card. */
export interface CardPart {
  readonly name: string;
  readonly line?: string;
  readonly parts: number;
  /** Of all parts, 0-1. */
  readonly share: number;
  readonly lab?: Lab;
}

/** The same colour from one other line. */
export interface CardOther {
  readonly line: string;
  /** Verdict and chance in words, or why there is none. */
  readonly says: string;
  readonly parts: readonly Pick<CardPart, 'name' | 'parts' | 'lab'>[];
}

/** Everything that a recipe card says. */
export interface CardContent {
  readonly title: string;
  readonly name: string;
  readonly code?: string;
  readonly lab?: Lab;
  /** Where the colour comes from and how sure it is. */
  readonly colour: string;
  /** How the clay looks beside its colour; empty for a flat one. */
  readonly look: string;
  readonly counting: string;
  readonly parts: readonly CardPart[];
  readonly powders: readonly string[];
  readonly bake: string;
  readonly caution: string;
  readonly author: string;
  readonly link?: string;
  readonly words?: string;
  readonly licence: string;
  readonly others: readonly CardOther[];
  /** Text of the QR code. */
  readonly payload: string;
}

/** What a card says of one mix of a share file, which holds only what may leave. */
export function cardContent(
  file: ShareFile,
  index: number,
  others: readonly CardOther[] = [],
): CardContent {
  const mix = itemAt(file.mixes, index);
  const total = mix.parts.reduce((sum, { parts }) => sum + parts, 0);
  const { author, link, words, licence } = file;
  return {
    title: titleOfShared(mix),
    name: mix.name ?? mix.code ?? '',
    ...(mix.code === undefined ? {} : { code: mix.code }),
    ...(mix.colour === undefined ? {} : { lab: mix.colour.lab }),
    colour: colourInWords(mix.colour),
    look: LOOKS[mix.look],
    counting: mix.basis === 'weight' ? 'Parts by weight.' : 'Equal pieces, any cutter.',
    parts: mix.parts
      .map(({ clay, parts }) => {
        const { name, line, lab } = itemAt(file.clays, clay);
        return {
          name,
          parts,
          share: parts / total,
          ...(line === undefined ? {} : { line: itemAt(file.lines, line).name }),
          ...(lab === undefined ? {} : { lab }),
        };
      })
      .sort((one, other) => other.parts - one.parts),
    powders: (mix.powders ?? []).map(
      ({ name, share }) => `${name}, ${percentInWords(share)} of the weight`,
    ),
    bake: bakeInWords(file, mix),
    caution: LABEL_FIRST,
    author,
    ...(link === undefined ? {} : { link }),
    ...(words === undefined ? {} : { words }),
    licence: `${licenceOf(licence).name}. ${licenceOf(licence).says}`,
    others,
    payload: payloadOfMix(file, index),
  };
}

const LOOKS: Readonly<Record<ShareMix['look'], string>> = {
  flat: '',
  shimmering: 'It shimmers: the colour changes with the light.',
  'see-through': 'It is see-through: thin pieces look paler.',
};

const SURE: Readonly<Record<VerdictWord, string>> = {
  same: 'A baked tile will look the same.',
  match: 'A baked tile will be a match, or nearly.',
  close: 'A baked tile may come out a little different.',
  family: 'A baked tile may come out clearly different.',
  different: 'A first guess: bake a tile before you trust it.',
};

function colourInWords(colour: ShareMix['colour']): string {
  if (colour === undefined) return 'Its colour is not known yet.';
  if (colour.from === 'baked') return 'The colour is that of a baked tile.';
  return `The colour is predicted. ${SURE[verdictWord(colour.plusMinus)]}`;
}

/** The heat that suits all lines of a mix, or that there is none. */
function bakeInWords(file: ShareFile, mix: ShareMix): string {
  const places = new Set(mix.parts.map(({ clay }) => itemAt(file.clays, clay).line));
  const lines = [...places].flatMap((place) =>
    place === undefined ? [] : [itemAt(file.lines, place)],
  );
  const heat = places.has(undefined) ? undefined : commonHeat(lines);
  if (heat === undefined) {
    return lines.length > 1
      ? 'Its lines ask for different heat: test a tile first.'
      : 'Bake as the package says.';
  }
  const minutes = Math.max(0, ...lines.flatMap(({ minutesPer6Mm }) => minutesPer6Mm ?? []));
  const long = minutes === 0 ? '' : `, ${minutes} minutes for every 6 mm`;
  const degrees = heat.lowC === heat.highC ? `${heat.lowC}` : `${heat.lowC} to ${heat.highC}`;
  return `Bake at ${degrees} °C${long}.`;
}

/** "5", "2.5", "0.16": no digits that say nothing. */
export function partsInWords(parts: number): string {
  return String(Number(parts.toPrecision(parts >= 10 ? 4 : 3)));
}
