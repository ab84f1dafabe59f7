import type { Reach, Support } from './reach.ts';

/** Places of blocks: 1 where a block is held. */
export type HeldBlocks = Uint8Array;

/** Sets of clays by block, ready to be looked through many times. */
export interface Makeable {
  readonly size: number;
  /** The closest recipe for a block of those held, up to a tolerance; undefined where none is. */
  closest(block: number, held: HeldBlocks, tolerance: number): Support | undefined;
  /** The same, every one of them, the closest first. */
  all(block: number, held: HeldBlocks, tolerance: number): readonly Support[];
  /** Whether one more block would make it: its sets that use that block, the rest of them held. */
  wouldMake(block: number, held: HeldBlocks, more: number, tolerance: number): boolean;
}

/** Opens what reaches what. A block is never made from itself. */
export function makeableFrom({ supports }: Pick<Reach, 'supports'>): Makeable {
  const size = supports.length;
  const using = supports.map((own) => {
    const by: Support[][] = Array.from({ length: size }, () => []);
    for (const support of own) for (const clay of support.clays) by[clay].push(support);
    return by;
  });
  const isHeld = ({ clays }: Support, held: HeldBlocks) => clays.every((clay) => held[clay] === 1);
  return {
    size,
    closest(block, held, tolerance) {
      for (const support of supports[block]) {
        if (support.dE00 > tolerance) return undefined;
        if (isHeld(support, held)) return support;
      }
      return undefined;
    },
    all: (block, held, tolerance) =>
      supports[block].filter((one) => one.dE00 <= tolerance && isHeld(one, held)),
    wouldMake: (block, held, more, tolerance) =>
      using[block][more].some(
        ({ clays, dE00 }) =>
          dE00 <= tolerance && clays.every((clay) => clay === more || held[clay] === 1),
      ),
  };
}
