import { z } from 'zod';
import { labUnder, type Viewing } from '../core/colour/adaptation.ts';
import { HOUSE_VIEWING } from '../core/colour/house-viewing.ts';
import type { Lab } from '../core/colour/triples.ts';
import type { KnownClays } from '../core/find/known-clays.ts';
import { bakedFromRaw } from '../core/verdict/baked-from-raw.ts';
import { lab, range } from '../domain/records/pieces.ts';
import { STATES } from '../domain/records/reading.ts';
import { type ReadingKind, spreadOfKind } from '../domain/records/reading-kind.ts';
import { readAim } from './aim.ts';
import { type AimAsked, aimSchema } from './question-parts.ts';
import { words } from './verb.ts';

/** How the colour of clay in the hand is known. */
const LOOKED = { measured: 'measured', rough: 'rough', eye: 'by eye' } as const satisfies Record<
  string,
  ReadingKind
>;

/** A tile read raw and baked; D50, 2 degrees. */
const pair = z
  .strictObject({ raw: lab, baked: lab, spread: range(0, 30) })
  .readonly()
  .meta({ id: 'RawAndBaked' });

/** Fields of a question that say how clay in the hand looks; `help` is that of the colour. */
export const looksAsked = (help: string) => ({
  looks: aimSchema.meta(words({ option: 'looks', value: 'COLOUR', example: '52,-14,20', help })),
  kind: z
    .enum(['measured', 'rough', 'eye'])
    .default('measured')
    .meta(words({ option: 'kind', value: 'KIND', help: 'how that colour is known' })),
  looksSpread: range(0.1, 30)
    .exactOptional()
    .meta(
      words({
        option: 'looks-spread',
        value: 'N',
        help: 'how far that colour may be off, standard deviation of each of L, a, b; by its kind when left out',
      }),
    ),
  state: z
    .enum(STATES)
    .default('baked')
    .meta(
      words({
        option: 'state',
        value: 'STATE',
        help: 'the state the colour was seen in; what baking does to a raw colour is worked out from your tiles read raw and baked',
      }),
    ),
  pairs: z
    .array(pair)
    .readonly()
    .exactOptional()
    .meta(
      words({
        help: 'tiles read raw and baked',
        file: {
          option: 'readings',
          holds: 'pairs',
          help: 'a file of readings: its tiles that were read raw and baked say what baking does',
        },
      }),
    ),
});

interface LooksSaid {
  readonly looks: AimAsked;
  readonly kind: keyof typeof LOOKED;
  readonly looksSpread?: number;
  readonly state: (typeof STATES)[number];
  readonly pairs?: readonly z.output<typeof pair>[];
  readonly viewing: Viewing;
}

/** A baked colour, as it was read or as a raw one is expected to become. */
export interface BakedLooks {
  /** Under the viewing of the question. */
  readonly lab: Lab;
  /** Standard deviation an axis, CIELAB units. */
  readonly spread: number;
  /** What was worked out on the way, in a plain sentence. */
  readonly note?: string;
}

/** How the clay looks once it is baked. */
export function bakedLooks(clays: KnownClays, said: LooksSaid): BakedLooks {
  const { viewing, state, pairs = [] } = said;
  const { lab: read } = readAim(said.looks, viewing, clays);
  const spread = said.looksSpread ?? spreadOfKind(LOOKED[said.kind]);
  if (state === 'baked') return { lab: read, spread };
  const baked = bakedFromRaw(labUnder(read, viewing, HOUSE_VIEWING), spread, pairs);
  return {
    lab: labUnder(baked.lab, HOUSE_VIEWING, viewing),
    spread: baked.spread,
    note:
      pairs.length === 0
        ? 'Nothing is known of how baking changes your clays, so a raw colour says little. Bake a small chip and give its colour.'
        : `What baking does to this raw colour is worked out from ${pairs.length === 1 ? 'one tile' : `${pairs.length} tiles`} read raw and baked.`,
  };
}
