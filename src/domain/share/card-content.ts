import type { Lab } from '../../core/colour/triples.ts';
import { itemAt } from '../../core/numeric/pairs.ts';
import { verdictWord } from '../../core/verdict/verdict.ts';
import { commonHeat } from '../clay-of-block.ts';
import { percentInWords } from '../powders-in-words.ts';
import { CARD_WORDS, type CardWords } from './card-words.ts';
import type { ShareFile, ShareMix } from './share-file.ts';
import { titleOfShared } from './what-leaves.ts';
import { withValues } from './with-values.ts';

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
}

/** What a card says of one mix of a share file, which holds only what may leave. */
export function cardContent(
  file: ShareFile,
  index: number,
  others: readonly CardOther[] = [],
  inWords: CardWords = CARD_WORDS,
): CardContent {
  const mix = itemAt(file.mixes, index);
  const total = mix.parts.reduce((sum, { parts }) => sum + parts, 0);
  const { author, link, words, licence } = file;
  return {
    title: titleOfShared(mix),
    name: mix.name ?? mix.code ?? '',
    ...(mix.code === undefined ? {} : { code: mix.code }),
    ...(mix.colour === undefined ? {} : { lab: mix.colour.lab }),
    colour: colourInWords(mix.colour, inWords),
    look: lookInWords(mix.look, inWords),
    counting: mix.basis === 'weight' ? inWords.byWeight : inWords.equalPieces,
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
    powders: (mix.powders ?? []).map(({ name, share }) =>
      withValues(inWords.ofTheWeight, { name, percent: percentInWords(share) }),
    ),
    bake: bakeInWords(file, mix, inWords),
    caution: inWords.labelFirst,
    author,
    ...(link === undefined ? {} : { link }),
    ...(words === undefined ? {} : { words }),
    licence: inWords[`licence ${licence}`],
    others,
  };
}

function lookInWords(look: ShareMix['look'], words: CardWords): string {
  return look === 'flat' ? '' : words[`looks ${look}`];
}

function colourInWords(colour: ShareMix['colour'], words: CardWords): string {
  if (colour === undefined) return words.colourUnknown;
  if (colour.from === 'baked') return words.colourBaked;
  return `${words.colourPredicted} ${words[`sure ${verdictWord(colour.plusMinus)}`]}`;
}

/** The heat that suits all lines of a mix, or that there is none. */
function bakeInWords(file: ShareFile, mix: ShareMix, words: CardWords): string {
  const places = new Set(mix.parts.map(({ clay }) => itemAt(file.clays, clay).line));
  const lines = [...places].flatMap((place) =>
    place === undefined ? [] : [itemAt(file.lines, place)],
  );
  const common = places.has(undefined) ? undefined : commonHeat(lines);
  if (common === undefined) return lines.length > 1 ? words.differentHeat : words.asThePackage;
  const { lowC: low, highC: high } = common;
  const heat = low === high ? low : withValues(words.fromTo, { low, high });
  const minutes = Math.max(0, ...lines.flatMap(({ minutesPer6Mm }) => minutesPer6Mm ?? []));
  return minutes === 0
    ? withValues(words.bakeAt, { heat })
    : withValues(words.bakeFor, { heat, minutes });
}

/** "5", "2.5", "0.16": no digits that say nothing. */
export function partsInWords(parts: number): string {
  return String(Number(parts.toPrecision(parts >= 10 ? 4 : 3)));
}
