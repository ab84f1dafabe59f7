import { useQuery } from '@tanstack/react-query';
import { useMemo } from 'react';
import type { LightName } from '../../core/colour/weights.ts';
import type { StockRow } from '../../core/find/known-clays.ts';
import { clayOfBlock, isOwned, type NamedClay, stockOfClays } from '../../domain/clay-of-block.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import type { OpenClays } from '../book/clays.ts';
import { gramsOnHand } from '../book/grams-on-hand.ts';
import { useBlockNames } from '../book/names.ts';
import { useAll } from '../book/queries.ts';

/** One clay a recipe may use: its block in the book and its index among the open clays. */
export interface StudioClay extends NamedClay {
  readonly clay: number;
  readonly isSold: boolean;
  /** The newest purchase mixes or looks different from earlier ones. */
  readonly looksDifferent: boolean;
  /** The newest purchase: the package that is open now. */
  readonly purchaseId?: string;
}

/** The clays of the book as Find uses them. */
export interface Studio {
  readonly clays: readonly StudioClay[];
  readonly byBlock: ReadonlyMap<string, StudioClay>;
  readonly byName: ReadonlyMap<string, StudioClay>;
  /** Of every open clay, also those without a block in the book. */
  readonly names: readonly string[];
  readonly lines: readonly { readonly id: string; readonly name: string }[];
  readonly stock: readonly StockRow[];
  /** Clays still sold of which no colour is known. */
  readonly colourless: readonly string[];
  /** Absent where prices are in several currencies, which cannot be added up. */
  readonly currency?: string;
  /** Lights besides daylight, from Settings. */
  readonly lights: readonly LightName[];
  readonly isPending: boolean;
}

/** Nothing is in it, and it is pending, until the clays are open. */
export function useStudio(open: OpenClays | undefined): Studio {
  const { nameOf } = useBlockNames();
  const blocks = useAll('block');
  const lines = useAll('line');
  const purchases = useAll('purchase');
  const settings = useAll('settings');
  const lights = settings.records[0]?.body.lights ?? NO_LIGHTS;
  const { data: onHand, isPending: isWeighing } = useQuery(gramsOnHand);
  return useMemo(
    () => ({
      // Worked out once the clays are open: every list that comes before would have it done again.
      ...(open === undefined
        ? NO_STUDIO
        : studioOf(
            open,
            blocks.byId,
            lines.records,
            nameOf,
            onHand ?? new Map(),
            purchases.records,
          )),
      lights,
      // A question that changes when the stock is known would be searched twice.
      isPending:
        open === undefined ||
        blocks.isPending ||
        lines.isPending ||
        settings.isPending ||
        purchases.isPending ||
        isWeighing,
    }),
    [
      open,
      blocks.byId,
      blocks.isPending,
      lines.records,
      lines.isPending,
      settings.isPending,
      lights,
      nameOf,
      onHand,
      isWeighing,
      purchases.records,
      purchases.isPending,
    ],
  );
}

const boughtOn = ({ body, createdAt }: RecordOf<'purchase'>) => body.boughtOn ?? createdAt;

const NO_LIGHTS: readonly LightName[] = [];
const NO_STUDIO: Omit<Studio, 'isPending' | 'lights'> = {
  clays: [],
  byBlock: new Map(),
  byName: new Map(),
  names: [],
  lines: [],
  stock: [],
  colourless: [],
};

function studioOf(
  open: OpenClays,
  blocks: ReadonlyMap<string, RecordOf<'block'>>,
  lines: readonly RecordOf<'line'>[],
  nameOf: (blockId: string) => string,
  onHand: ReadonlyMap<string, number | undefined>,
  purchases: readonly RecordOf<'purchase'>[],
): Omit<Studio, 'isPending' | 'lights'> {
  const lineById = new Map(lines.map((line) => [line.id, line]));
  const newest = new Map<string, RecordOf<'purchase'>>();
  for (const one of purchases) {
    const known = newest.get(one.body.of.id);
    if (known === undefined || boughtOn(known) <= boughtOn(one)) newest.set(one.body.of.id, one);
  }
  const names: string[] = [];
  const clays = open.blocks.flatMap(({ blockId, clay }): StudioClay[] => {
    const block = blocks.get(blockId);
    if (block === undefined) return [];
    names[clay] = nameOf(blockId);
    // Clays that came with recipes of others are only known.
    if (!isOwned(block)) return [];
    const line = lineById.get(block.body.lineId);
    const purchase = newest.get(blockId);
    return [
      {
        clay,
        name: names[clay],
        isSold: block.body.status === 'current',
        looksDifferent: purchase?.body.reformulated === true,
        ...(purchase === undefined ? {} : { purchaseId: purchase.id }),
        ...clayOfBlock(block, line, onHand.get(blockId)),
      },
    ];
  });
  open.worker.clays.forEach(({ name }, clay) => {
    names[clay] ??= `${name} (no longer in the book)`;
  });
  const { rows, currency } = stockOfClays(clays);
  const coloured = new Set(clays.map(({ blockId }) => blockId));
  return {
    clays,
    byBlock: new Map(clays.map((clay) => [clay.blockId, clay])),
    byName: new Map(clays.map((clay) => [clay.name, clay])),
    names,
    lines: lines
      .filter(({ id }) => clays.some(({ lineId }) => lineId === id))
      .map(({ id, body }) => ({ id, name: body.name })),
    stock: rows,
    colourless: [...blocks.values()]
      .filter(({ id, body }) => body.status === 'current' && !coloured.has(id))
      .map(({ id }) => nameOf(id))
      .sort((a, b) => a.localeCompare(b)),
    ...(currency === undefined ? {} : { currency }),
  };
}
