import type { StockRow } from '../find/known-clays.ts';

/** What the batches take of one block, and what must be bought for it. */
export interface BlockUse {
  readonly clay: string;
  readonly usedG: number;
  /** Absent where it was never counted; all of it is then to buy. */
  readonly onHandG?: number;
  readonly packageG?: number;
  /** Whole packages to buy; undefined where the weight of a package is not known. */
  readonly buy?: number;
  /** Grams that lack, without whole packages. */
  readonly lacksG: number;
  /** After the figure, with what is bought. */
  readonly leftG?: number;
  /** Minor units of money: of the clay used, and of the packages to buy. */
  readonly usedMinor?: number;
  readonly buyMinor?: number;
}

/** A gram less than this does not count. */
const A_HAIR_G = 1e-6;

/**
 * What is used of one block, in packages and money as far as the stock says.
 * Units: g; of what is used, `takenG` is mixed already and left the stock
 */
export function blockUse(
  clay: string,
  usedG: number,
  row: StockRow | undefined,
  takenG = 0,
): BlockUse {
  const { onHandG, packageG, priceMinorPerG } = row ?? {};
  const openG = usedG - takenG;
  const lacks = openG - (onHandG ?? 0);
  const lacksG = lacks > A_HAIR_G ? lacks : 0;
  const buy =
    packageG === undefined || packageG === 0
      ? lacksG === 0
        ? 0
        : undefined
      : Math.ceil(lacksG / packageG);
  return {
    clay,
    usedG,
    ...(onHandG === undefined ? {} : { onHandG }),
    ...(packageG === undefined ? {} : { packageG }),
    ...(buy === undefined ? {} : { buy }),
    lacksG,
    ...(buy === undefined ? {} : { leftG: (onHandG ?? 0) + buy * (packageG ?? 0) - openG }),
    ...(priceMinorPerG === undefined ? {} : { usedMinor: usedG * priceMinorPerG }),
    ...(priceMinorPerG === undefined || buy === undefined
      ? {}
      : { buyMinor: Math.round(buy * (packageG ?? 0) * priceMinorPerG) }),
  };
}
