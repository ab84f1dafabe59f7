import { AppError } from '../core/errors.ts';
import type { Basis, BlockNode, MixNode } from '../core/mixes/mix-graph.ts';
import { mixResolver } from '../core/mixes/resolve-mix.ts';
import type { BookKind } from '../domain/records/record.ts';
import type { BookIndex } from './book-index.ts';
import type { ClayWorkDone, ColourWork } from './clay-work.ts';
import { type ColouringClays, colouringClays } from './colouring-clays.ts';
import type { ColourMix, NamedColourRow } from './mix-colours.ts';
import type { BookPorts } from './ports.ts';
import type { RecipeIndex } from './recipe-index.ts';

/** Works out colours on another thread; `soon` where a person waits. */
export type ColoursElsewhere = (
  work: ColourWork,
  options: { readonly soon?: boolean },
) => Promise<ClayWorkDone>;

export interface PredictedColours {
  /** Resolves when every mix without a reading has its colour, or after a moment in a large book. */
  settled(): Promise<void>;
  /** The same for some mixes, ahead of all others; whether no colour of theirs is still to come. */
  of(numbers: readonly number[]): Promise<boolean>;
}

/** Mixes in one piece of work. */
const AT_ONCE = 1000;
/** So long an answer waits for colours; those that come later are in the next one. */
const MOST_WAIT_MS = 2000;
/** Records whose change may change the colours of blocks, from which rough clays are made. */
const COLOUR_BLOCKS: readonly BookKind[] = ['block', 'tile', 'reading'];

/**
 * Colours of mixes without a reading, as the newest clay model predicts them: held in the index alone, never
 * in the journal. They are worked out in the background, a batch at a time, and go on where they stopped; a
 * changed mix is done again with all that is made of it, a new clay model does all again.
 */
export function predictedColours(
  ports: Pick<BookPorts, 'store' | 'files' | 'onTrouble'>,
  index: BookIndex,
  recipes: () => Promise<RecipeIndex>,
  elsewhere: ColoursElsewhere | undefined,
): PredictedColours {
  if (elsewhere === undefined) return { settled: async () => {}, of: async () => true };
  const { table, shown } = index;
  /** Mixes that are done with these clays, by number. */
  let done = new Set<number>();
  let clays: ColouringClays | undefined;
  let clayKey = '';
  let claysChanged = true;
  /** Below it every mix is done. */
  let doneBelow = 0;
  let running: Promise<void> | undefined;
  /** A program that never asks for colours works out none. */
  let asked = false;
  /** What changed while a batch was away; the batch was of before. */
  const away = new Set<Set<number>>();

  index.follow((numbers, rows) => {
    const kinds = new Set(rows.map(({ after }) => after.kind));
    if (kinds.has('clay-model') || numbers.length > rows.length) claysChanged = true;
    if (clays?.rough !== false && COLOUR_BLOCKS.some((kind) => kinds.has(kind)))
      claysChanged = true;
    for (const number of numbers) forget(number);
    if (asked) start();
  });

  return {
    async settled() {
      asked = true;
      await index.ready;
      start();
      if (running !== undefined) await forAMoment(running);
    },
    async of(numbers) {
      asked = true;
      if (!numbers.some(wants)) return true;
      return forAMoment(claysNow().then(() => predict(numbers.filter(wants), true)));
    },
  };

  /** Works in the background until nothing is left; started again by whatever changes. */
  function start(): void {
    if (running !== undefined) return;
    if (!claysChanged && next(1).length === 0) return;
    running = work()
      .catch(failed)
      .finally(() => {
        running = undefined;
      });
  }

  async function work(): Promise<void> {
    await claysNow();
    for (let some = next(AT_ONCE); some.length > 0; some = next(AT_ONCE)) {
      await predict(some, some.length < AT_ONCE);
      if (claysChanged) await claysNow();
    }
  }

  async function claysNow(): Promise<void> {
    if (!claysChanged) return;
    claysChanged = false;
    clays = await colouringClays(ports, index);
    if ((clays?.key ?? '') === clayKey) return;
    clayKey = clays?.key ?? '';
    done = new Set();
    doneBelow = 0;
    for (const touched of away) for (let i = 0; i < table.size; i++) touched.add(i);
  }

  function failed(fault: unknown): void {
    if (!(fault instanceof AppError)) ports.onTrouble?.(fault);
  }

  function wants(number: number): boolean {
    if (done.has(number) || !table.isLive(number, 'mix')) return false;
    const source = shown.sourceOf(number);
    return source === number || source < 0;
  }

  function next(most: number): readonly number[] {
    const found: number[] = [];
    let whole = true;
    for (let number = doneBelow; number < table.size && found.length < most; number++) {
      if (wants(number)) {
        found.push(number);
        whole = false;
      } else if (whole) doneBelow = number + 1;
    }
    return found;
  }

  /** A mix with all that is made of it, or all mixes of a block or line. */
  function forget(number: number): void {
    const stack = [number];
    const seen = new Set(stack);
    for (let at = stack.pop(); at !== undefined; at = stack.pop()) {
      done.delete(at);
      doneBelow = Math.min(doneBelow, at);
      for (const touched of away) touched.add(at);
      const kind = table.kindAt(at);
      if (kind !== 'mix' && kind !== 'block' && kind !== 'line') continue;
      for (const user of table.namersOf(at, kind === 'line' ? 'line' : 'parts')) {
        if (seen.has(user)) continue;
        seen.add(user);
        stack.push(user);
      }
    }
  }

  async function predict(numbers: readonly number[], soon: boolean): Promise<void> {
    const touched = new Set<number>();
    away.add(touched);
    try {
      const colours = await coloursOf(numbers, soon);
      for (const [i, number] of numbers.entries()) {
        if (touched.has(number)) continue;
        done.add(number);
        const row = colours[i] ?? null;
        const lab = row === null ? undefined : ([row[0], row[1], row[2]] as const);
        shown.setPredicted(number, lab === undefined ? undefined : { lab, name: row![3] });
      }
      index.recoloured();
    } catch (fault) {
      // Without these colours the book is shown as it was saved; the next clay model gets a fresh try.
      for (const number of numbers) done.add(number);
      failed(fault);
    } finally {
      away.delete(touched);
    }
  }

  async function coloursOf(
    numbers: readonly number[],
    soon: boolean,
  ): Promise<readonly NamedColourRow[]> {
    const now = clays;
    if (now === undefined) return [];
    const known = await recipes();
    const mixes = numbers.map((number) => clayShares(table.idAt(number), known, now));
    const some = mixes.filter((mix) => mix.length > 0);
    if (some.length === 0) return [];
    const work = { verb: 'colours', source: await now.source(), mixes } as const;
    const { answer } = await elsewhere!(work, { soon });
    return answer.colours as readonly NamedColourRow[];
  }
}

/** A mix down to the names its clays have; empty where one of them is not among the clays. */
function clayShares(id: string, recipes: RecipeIndex, { basis, names }: ColouringClays): ColourMix {
  const shares =
    flatShares(recipes.mixes.get(id), recipes, basis) ?? deepShares(id, recipes, basis);
  const mix = shares.flatMap(({ id: block, share }) => {
    const clay = names.get(block);
    return clay === undefined ? [] : [{ clay, share }];
  });
  return mix.length === shares.length ? mix : [];
}

type Shares = readonly { readonly id: string; readonly share: number }[];

/** Most mixes are made of blocks alone and count as the clays do. */
function flatShares(
  mix: MixNode | undefined,
  { mixes }: RecipeIndex,
  basis: Basis,
): Shares | undefined {
  if (mix === undefined || mix.parts.some(({ clay }) => mixes.has(clay))) return undefined;
  if (mix.basis !== basis && mix.parts.length > 1) return undefined;
  const total = mix.parts.reduce((sum, { parts }) => sum + parts, 0);
  return mix.parts.map(({ clay, parts }) => ({ id: clay, share: parts / total }));
}

function deepShares(id: string, recipes: RecipeIndex, basis: Basis): Shares {
  const mixes = new Map<string, MixNode>();
  const blocks = new Map<string, BlockNode>();
  reach(id);
  const found = mixResolver({ mixes, blocks }).resolve(id, basis);
  return found.status === 'resolved' ? found.blocks : [];

  function reach(of: string): void {
    if (mixes.has(of) || blocks.has(of)) return;
    const node = recipes.mixes.get(of);
    const block = recipes.block(of);
    if (node !== undefined) {
      mixes.set(of, node);
      for (const { clay } of node.parts) reach(clay);
    } else if (block !== undefined) blocks.set(of, block);
  }
}

/** Whether the work ended in a moment, well or not. */
async function forAMoment(work: Promise<void>): Promise<boolean> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<false>((resolve) => {
    timer = setTimeout(() => resolve(false), MOST_WAIT_MS);
  });
  const ended = work.catch(() => {}).then(() => true);
  const inTime = await Promise.race([ended, late]);
  clearTimeout(timer);
  return inTime;
}
