import { useQuery } from '@tanstack/react-query';
import { ofKind } from '../../domain/records/of-kind.ts';
import type { BodyOf, RecordOf } from '../../domain/records/record.ts';
import { client } from './client.ts';

type Parts = BodyOf<'mix'>['parts'];

/** A recipe kept before has nearly this colour; so many of the nearest are looked at. */
const NEAR = 60;

/** A mix of the book with the same recipe, in the same proportions, so that nothing is kept twice unseen. */
export function useDuplicateRecipe(
  body: Pick<BodyOf<'mix'>, 'parts' | 'basis' | 'predicted'>,
  enabled: boolean,
): RecordOf<'mix'> | undefined {
  const { parts, basis, predicted } = body;
  const { data } = useQuery({
    queryKey: ['mixes', 'twin', basis, parts, predicted?.lab],
    queryFn: async () => {
      const [l, a, b] = predicted!.lab;
      const { body: found } = await client.call('nearest', {
        query: { l, a, b, kind: ['mix'], top: NEAR },
      });
      const mixes = ofKind(
        found.near.map(({ record }) => record),
        'mix',
      );
      return (
        mixes.find((mix) => mix.body.basis === basis && sameRecipe(mix.body.parts, parts)) ?? null
      );
    },
    enabled: enabled && predicted !== undefined,
  });
  return data ?? undefined;
}

/** Whether two lists of parts are one recipe: 2 : 1 and 4 : 2 are, in whatever order. */
export function sameRecipe(one: Parts, other: Parts): boolean {
  if (one.length !== other.length) return false;
  const total = (list: Parts) => list.reduce((sum, { parts }) => sum + parts, 0);
  const [mine, theirs] = [total(one), total(other)];
  return one.every(({ of, parts }) =>
    other.some(
      (part) =>
        part.of.kind === of.kind &&
        part.of.id === of.id &&
        // Exact but for rounding: parts may be fractions.
        Math.abs(part.parts * mine - parts * theirs) < 1e-9 * mine * theirs,
    ),
  );
}
