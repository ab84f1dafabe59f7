import type { Lab } from '../../../core/colour/triples.ts';
import { chanceWithin } from '../../../core/verdict/chance.ts';
import { MATCH, type VerdictWord, verdict } from '../../../core/verdict/verdict.ts';
import {
  differenceInWords,
  type VerdictInWords,
  verdictInWords,
} from '../../../core/verdict/verdict-in-words.ts';
import type { MixShown } from '../../book/mix-prediction.ts';

const AGAINST_WANTED: Readonly<Record<VerdictWord, string>> = {
  same: 'Just what you wanted',
  match: 'A match for what you wanted',
  close: 'Close to what you wanted',
  family: 'Not far from what you wanted',
  different: 'Not what you wanted',
};

const AGAINST_PREDICTION: Readonly<Record<VerdictWord, string>> = {
  same: 'The prediction was right: the tile is the same.',
  match: 'The prediction was right: the tile is a match.',
  close: 'The tile is close to the prediction.',
  family: 'The tile is in the same family as the prediction.',
  different: 'The tile is different from the prediction.',
};

/**
 * The one verdict on a mix: its tile beside the colour wanted, else the prediction beside that colour,
 * else the tile beside the prediction, else how sure the prediction is.
 */
export function mixVerdict({
  wanted,
  predicted,
  read,
}: {
  readonly wanted: Lab | undefined;
  readonly predicted: MixShown | undefined;
  readonly read: Lab | undefined;
}): VerdictInWords & { readonly also?: string } {
  const also =
    read === undefined || predicted === undefined
      ? {}
      : { also: AGAINST_PREDICTION[verdict(predicted.lab, read).word] };
  if (wanted !== undefined && read !== undefined) {
    return {
      head: AGAINST_WANTED[verdict(wanted, read).word],
      miss: differenceInWords(wanted, read).miss,
      ...also,
    };
  }
  if (wanted !== undefined && predicted !== undefined) {
    if (predicted.covariance !== undefined) {
      return verdictInWords(wanted, predicted.lab, predicted.covariance, MATCH);
    }
    return differenceInWords(wanted, predicted.lab);
  }
  if (read !== undefined) {
    if (predicted === undefined) return { head: 'As its tile shows', miss: '' };
    const { miss } = differenceInWords(predicted.lab, read);
    return { head: 'Baked and read', miss: `${also.also}${miss === '' ? '' : ` ${miss}`}` };
  }
  if (predicted === undefined) {
    return { head: 'No colour yet', miss: 'Bake a tile and read it, or update the model.' };
  }
  if (predicted.covariance === undefined) {
    return { head: 'Predicted', miss: 'Bake a tile to be sure.' };
  }
  const chance = chanceWithin(predicted.lab, predicted.lab, predicted.covariance, MATCH);
  return { head: 'Predicted from your clays', miss: surenessInWords(chance) };
}

/** How sure a prediction is, by the chance of a match. */
function surenessInWords(chance: number): string {
  const inTen = Math.round(chance * 10);
  if (inTen >= 10) return 'A tile comes out like this.';
  if (inTen === 0) return 'Only roughly: bake a tile to be sure.';
  return `A tile comes out a match for this ${inTen} times in 10.`.replace('1 times', '1 time');
}
