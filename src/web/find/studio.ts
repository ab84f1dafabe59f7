import { useQuery } from '@tanstack/react-query';
import { useMemo } from 'react';
import { CLAY_CLASSES } from '../../core/clay/clay-class.ts';
import { EFFECTS } from '../../core/clay/effect-offset.ts';
import type { LightName } from '../../core/colour/weights.ts';
import type { StockRow } from '../../core/find/known-clays.ts';
import { clayKey } from '../../core/notation/notation.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import type { OpenClays } from '../book/clays.ts';
import { client } from '../book/client.ts';
import { useBlockNames } from '../book/names.ts';
import { useAll } from '../book/queries.ts';

/** One clay a recipe may be made of: as the book has it, and as the open clays number it. */
export interface StudioClay {
  readonly blockId: string;
  readonly clay: number;
  /** What it is called here; no two alike. */
  readonly name: string;
  readonly lineId: string;
  readonly line: string;
  readonly clayType: RecordOf<'block'>['body']['clayType'];
  readonly onHandG?: number;
  readonly densityGPerCm3?: number;
  readonly priceMinorPerG?: number;
}

/** The clays of the book as Find speaks of them. */
export interface Studio {
  readonly clays: readonly StudioClay[];
  readonly byBlock: ReadonlyMap<string, StudioClay>;
  readonly byName: ReadonlyMap<string, StudioClay>;
  /** Of every clay of the open clays, those that are no block of the book among them. */
  readonly names: readonly string[];
  readonly lines: readonly { readonly id: string; readonly name: string }[];
  readonly stock: readonly StockRow[];
  /** Absent where prices are in several currencies, which cannot be added up. */
  readonly currency?: string;
  /** What she judges under beside daylight, as Settings has it. */
  readonly lights: readonly LightName[];
  readonly isPending: boolean;
}

export function useStudio(open: OpenClays): Studio {
  const { nameOf } = useBlockNames();
  const blocks = useAll('block');
  const lines = useAll('line');
  const settings = useAll('settings');
  const lights = settings.records[0]?.body.lights ?? NO_LIGHTS;
  const { data: onHand } = useQuery({
    queryKey: ['stock', 'grams'],
    queryFn: async () => {
      const { body } = await client.call('stock', { query: {} });
      return new Map(body.stock.map((one) => [one.of.id, one.grams]));
    },
  });
  return useMemo(
    () => ({
      ...studioOf(open, blocks.byId, lines.records, nameOf, onHand ?? new Map()),
      lights,
      isPending: blocks.isPending || lines.isPending || settings.isPending,
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
    ],
  );
}

const NO_LIGHTS: readonly LightName[] = [];
/** Words that mean a group of clays, so that no clay may be called so. */
const KINDS: readonly string[] = [...CLAY_CLASSES, ...EFFECTS];

function studioOf(
  open: OpenClays,
  blocks: ReadonlyMap<string, RecordOf<'block'>>,
  lines: readonly RecordOf<'line'>[],
  nameOf: (blockId: string) => string,
  onHand: ReadonlyMap<string, number | undefined>,
): Omit<Studio, 'isPending' | 'lights'> {
  const lineById = new Map(lines.map((line) => [line.id, line]));
  const taken = new Set([...KINDS, ...lines.map(({ body }) => clayKey(body.name))]);
  const names: string[] = [];
  const own = (plain: string, line: string) => {
    let name = plain;
    for (let i = 1; taken.has(clayKey(name)); i++) {
      name = i === 1 ? `${line} ${plain}` : `${line} ${plain} ${i}`;
    }
    taken.add(clayKey(name));
    return name;
  };
  const currencies = new Set<string>();
  const clays = open.blocks.flatMap(({ blockId, clay }): StudioClay[] => {
    const block = blocks.get(blockId);
    if (block === undefined) return [];
    const { lineId, clayType, price, packageG, densityGPerCm3 } = block.body;
    const line = lineById.get(lineId);
    const lineName = line?.body.name ?? 'of no line';
    const name = own(nameOf(blockId), lineName);
    names[clay] = name;
    const grams = onHand.get(blockId);
    const density = densityGPerCm3 ?? line?.body.densityGPerCm3;
    if (price !== undefined) currencies.add(price.currency);
    return [
      {
        blockId,
        clay,
        name,
        lineId,
        line: lineName,
        clayType,
        ...(grams === undefined ? {} : { onHandG: Math.max(0, grams) }),
        ...(density === undefined ? {} : { densityGPerCm3: density }),
        ...(price === undefined || packageG === undefined || packageG === 0
          ? {}
          : { priceMinorPerG: price.minor / packageG }),
      },
    ];
  });
  for (let clay = 0; clay < open.desk.clays.length; clay++) {
    names[clay] ??= own(open.desk.clays[clay].name, 'the former');
  }
  const [currency, ...others] = currencies;
  const one = currency !== undefined && others.length === 0;
  return {
    clays,
    byBlock: new Map(clays.map((clay) => [clay.blockId, clay])),
    byName: new Map(clays.map((clay) => [clay.name, clay])),
    names,
    lines: lines
      .filter(({ id }) => clays.some(({ lineId }) => lineId === id))
      .map(({ id, body }) => ({ id, name: body.name })),
    stock: clays.map((clay) => ({
      name: clay.name,
      line: clay.line,
      ...(clay.onHandG === undefined ? {} : { onHandG: clay.onHandG }),
      ...(clay.densityGPerCm3 === undefined ? {} : { density: clay.densityGPerCm3 }),
      ...(clay.priceMinorPerG === undefined || !one ? {} : { priceMinorPerG: clay.priceMinorPerG }),
    })),
    ...(one ? { currency } : {}),
  };
}
