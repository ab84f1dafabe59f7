import { colourWeights } from '../colour/weights.ts';
import { type BatchDrift, batchDrifts } from './batch-drift.ts';
import type { ClayClass } from './clay-class.ts';
import { type ClayModel, modelFromFit } from './clay-model.ts';
import type { Fit } from './fit-result.ts';
import { type LeftOutTile, leftOutTiles } from './left-out.ts';
import { type PlainTile, plainTile } from './plain-tiles.ts';
import { openModel, predictMix } from './predict.ts';
import { sideBetween } from './side-between.ts';

export interface OutlyingTile {
  readonly tile: string;
  readonly weight: number;
  readonly dE00: number;
  readonly sentence: string;
}

export interface LearnReport {
  readonly iterations: number;
  readonly converged: boolean;
  readonly lastMove: number;
  readonly leaveOneOut: readonly LeftOutTile[];
  readonly meanDE00: number;
  /**
   * At least half of the tiles are predicted this closely; of an even number, the larger of the two
   * middle errors.
   */
  readonly medianDE00: number;
  readonly worstDE00: number;
  readonly outlying: readonly OutlyingTile[];
  /** Clays that appear to have changed between photos. */
  readonly drifts: readonly BatchDrift[];
  readonly groups: readonly { clays: string[]; reference: string; white: boolean }[];
  readonly clays: readonly ReportedClay[];
}

export interface ReportedClay {
  readonly name: string;
  readonly clayClass: ClayClass;
  readonly tiles: number;
  readonly ownTiles: number;
  /**
   * Root mean square ± of this clay alone and at 1:3 with its group's reference (for a reference:
   * with the one that sets the unit of scale), CIELAB units.
   */
  readonly expectedDE: number;
  /** Its plain tiles beside the prediction; absent where it has none. */
  readonly plain?: PlainTile;
}

/** A tile is outlying when it counts for less than this share of an ordinary one. */
const OUTLYING_WEIGHT = 0.5;

/**
 * What to check in a fit before trusting it: each tile predicted from the others, tiles that
 * disagree with the others (they count for less, and are named), groups without a common scale.
 * Method:  leave-one-out by removing the tile's own information from the normal equations at the
 *          optimum, exact for a linear model; a refit without a tile of a mix agrees to about a
 *          tenth of it. The only tile of a clay also set its type and family, and these are not
 *          removed, so the error of such a tile comes out too small: 0.9 for 6.5 in a virtual
 *          studio's black
 * Source:  [CookWeisberg1982]
 */
export function learnReport(
  fit: Fit,
  leaveOneOut: readonly LeftOutTile[] = leftOutTiles(fit),
  model: ClayModel = modelFromFit(fit, leaveOneOut),
): LearnReport {
  const errors = leaveOneOut.map((tile) => tile.dE00).sort((a, b) => a - b);
  const outlying = fit.tiles.flatMap((tile, i): OutlyingTile[] => {
    if (tile.weight >= OUTLYING_WEIGHT) return [];
    const { dE00, lab, read } = leaveOneOut[i];
    return [
      {
        tile: tile.tile.name,
        weight: tile.weight,
        dE00,
        sentence: `${tile.tile.name} reads ${sideBetween(lab, read)} than its recipe and the other tiles predict; check its recipe, its thickness or its reading.`,
      },
    ];
  });
  const { set } = fit;
  return {
    iterations: fit.iterations,
    converged: fit.converged,
    lastMove: fit.lastMove,
    leaveOneOut,
    meanDE00: errors.reduce((sum, e) => sum + e, 0) / errors.length,
    medianDE00: errors[Math.floor(errors.length / 2)],
    worstDE00: errors[errors.length - 1],
    outlying,
    drifts: batchDrifts(fit),
    groups: set.reference.map((reference, g) => ({
      clays: set.clays.filter((_, i) => set.group[i] === g),
      reference: set.clays[reference],
      white: set.classes[reference] === 'white',
    })),
    clays: reportedClays(fit, model),
  };
}

function reportedClays(fit: Fit, model: ClayModel): ReportedClay[] {
  const predictor = openModel(model);
  const weights = colourWeights('D50', 2);
  const variance = (parts: { clay: number; share: number }[]) => {
    const { covariance } = predictMix(predictor, parts, { weights, partsSpread: 0 });
    return covariance[0] + covariance[4] + covariance[8];
  };
  return model.clays.map((clay, i) => {
    // A clay that no tile ties to another group is its own reference, and mixes show it.
    const own = fit.set.reference[clay.group];
    const reference = own === i ? fit.set.reference[0] : own;
    const withReference = (share: number) =>
      variance([
        { clay: i, share },
        { clay: reference, share: 1 - share },
      ]);
    // A concentrate is judged at the shares it is used in; it never occurs alone.
    const sizes =
      clay.clayClass === 'concentrate' && reference !== i
        ? [withReference(usualShare(fit, i))]
        : [variance([{ clay: i, share: 1 }]), ...(reference === i ? [] : [withReference(1 / 4)])];
    const plain = plainTile(fit, i);
    return {
      name: clay.name,
      ...(plain === undefined ? {} : { plain }),
      clayClass: clay.clayClass,
      tiles: clay.tiles,
      ownTiles: clay.ownTiles,
      expectedDE: Math.sqrt(sizes.reduce((sum, v) => sum + v, 0) / sizes.length),
    };
  });
}

/** Geometric mean of the shares a clay has in its tiles. */
function usualShare(fit: Fit, clay: number): number {
  const logs = fit.set.tiles.flatMap(({ parts }) =>
    parts.filter((part) => part.clay === clay).map((part) => Math.log(part.share)),
  );
  return Math.exp(logs.reduce((sum, v) => sum + v, 0) / logs.length);
}
