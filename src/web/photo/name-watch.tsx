import { useQuery } from '@tanstack/react-query';
import { useEffect, useMemo } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import type { BetterOrder } from '../../core/photo/weigh-names.ts';
import { type MixParts, mixNode, resolverFor } from '../../domain/mix-graph-of-book.ts';
import type { CheckedTile } from '../../verbs/check-names.ts';
import type { TileRead } from '../../verbs/question-parts.ts';
import { type OpenClays, useClays } from '../book/clays.ts';
import { getMany } from '../book/queries.ts';
import { useVerb } from '../book/use-verb.ts';
import { type Studio, useStudio } from '../find/studio.ts';
import type { Target } from './match-code.ts';
import type { TileHere } from './use-tile-list.ts';

/** The colour that the name of a tile stands for, and how far the tile is from it. */
export interface NameSeen
  extends Pick<NonNullable<CheckedTile['predicted']>, 'dE00' | 'isDoubtful'> {
  readonly lab: Lab;
  /** What was typed when this was asked. */
  readonly text: string;
}

export interface NamesSeen {
  /** By the key of a row; absent where no colour is known for a name. */
  readonly rows: ReadonlyMap<string, NameSeen>;
  /** Names that fit better in another order, by the keys of their rows. */
  readonly better?: { readonly order: BetterOrder; readonly keys: readonly string[] };
}

interface Watch {
  readonly tiles: readonly TileHere[];
  readonly onSeen: (seen: NamesSeen) => void;
  /** Whether names are being compared, so that doubts may still come. */
  readonly onComparing: (isComparing: boolean) => void;
}

/** Compares names with colours once the clays are open; draws nothing. */
export function NameWatch(watch: Watch) {
  const clays = useClays();
  useReported(clays.state === 'opening', watch.onComparing);
  return clays.state === 'open' ? <Watching clays={clays.clays} {...watch} /> : null;
}

/** Reports a state as long as this is on the page. */
function useReported(is: boolean, report: (is: boolean) => void): void {
  useEffect(() => {
    if (!is) return undefined;
    report(true);
    return () => report(false);
  }, [is, report]);
}

function Watching({ clays, tiles, onSeen, onComparing }: Watch & { readonly clays: OpenClays }) {
  const studio = useStudio(clays);
  const asked = useMemo(
    () => tiles.filter(({ take, state }) => take && state === 'baked'),
    [tiles],
  );
  const recipes = useRecipes(asked, clays, studio);
  const question = useMemo(() => {
    if (studio.isPending || recipes === undefined || recipes.every((one) => one === undefined))
      return undefined;
    return {
      tiles: asked.map(({ row: { name, reading } }, i) => ({
        tile: name,
        lab: reading.lab,
        spread: Math.sqrt(
          (reading.covariance[0] + reading.covariance[4] + reading.covariance[8]) / 3,
        ),
        ...(recipes[i] === undefined ? {} : { recipe: recipes[i] }),
      })),
    };
  }, [asked, recipes, studio.isPending]);
  const { latest, old, fault } = useVerb(clays, studio, 'check-names', question);
  const answer = old ? undefined : latest?.answer;
  const isAsked = studio.isPending || recipes === undefined || question !== undefined;
  useReported(isAsked && answer === undefined && fault === undefined, onComparing);
  const named = JSON.stringify(asked.map(({ row: { key }, text }) => ({ key, text })));
  useEffect(() => {
    if (answer === undefined) return;
    const of = JSON.parse(named) as readonly { readonly key: string; readonly text: string }[];
    onSeen({
      rows: new Map(
        answer.tiles.flatMap(({ predicted }, i) =>
          predicted === null ? [] : [[of[i].key, { ...predicted, text: of[i].text }]],
        ),
      ),
      ...(answer.better === null
        ? {}
        : { better: { order: answer.better, keys: of.map(({ key }) => key) } }),
    });
  }, [answer, named, onSeen]);
  return null;
}

type Recipe = TileRead['recipe'];

/** What each tile is made of by the names of clays; undefined of a name the book does not know. */
function useRecipes(
  tiles: readonly TileHere[],
  { worker: { basis } }: OpenClays,
  { byBlock }: Studio,
): readonly (Recipe | undefined)[] | undefined {
  const made = tiles.map(({ target }) => partsOf(target));
  const { data, isError } = useQuery({
    queryKey: ['mixes', 'of names', made, basis],
    queryFn: async () => {
      const ids = made.flatMap((one) => one?.parts.map(({ of }) => of.id) ?? []);
      const { resolver } = await resolverFor(getMany, ids);
      return made.map((one) => {
        if (one === undefined) return undefined;
        const found = resolver.resolve(
          mixNode({ basis: one.basis ?? basis, parts: one.parts }),
          basis,
        );
        return found.status === 'resolved' ? found.blocks : undefined;
      });
    },
  });
  return useMemo(
    () =>
      (isError ? [] : data)?.map((blocks) => {
        const recipe = blocks?.flatMap(({ id, share }) => {
          const clay = byBlock.get(id);
          return clay === undefined ? [] : [{ clay: clay.name, parts: share }];
        });
        return recipe !== undefined && recipe.length > 0 && recipe.length === blocks?.length
          ? recipe
          : undefined;
      }),
    [data, isError, byBlock],
  );
}

/** What a name stands for, where all of it is in the book; a block or mix is one part of itself. */
function partsOf(
  target: Target,
): { readonly parts: MixParts['parts']; readonly basis?: 'volume' | 'weight' } | undefined {
  switch (target.is) {
    case 'tile': {
      const { of, basis } = target.tile.body;
      return 'parts' in of ? { parts: of.parts, basis } : { parts: [{ of, parts: 1 }], basis };
    }
    case 'new tile':
      return { parts: [{ of: target.of, parts: 1 }], basis: target.basis };
    case 'parts': {
      const parts = target.parts.flatMap(({ of, parts: n }) =>
        of.kind === 'new block' ? [] : [{ of, parts: n }],
      );
      return parts.length === target.parts.length ? { parts } : undefined;
    }
    default:
      return undefined;
  }
}
