import { useQuery } from '@tanstack/react-query';
import type { MixParts } from '../../domain/mix-graph-of-book.ts';
import { ofKind } from '../../domain/records/of-kind.ts';
import type { BodyOf, RecordOf } from '../../domain/records/record.ts';
import { client } from './client.ts';

type Parts = BodyOf<'mix'>['parts'];

/** The same recipe has nearly the same colour, so that only the closest mixes are compared. */
const CLOSEST = 60;

/** A mix of the book with the same recipe in the same proportions, to warn before it is saved twice. */
export function useDuplicateRecipe(
  body: MixParts & Pick<BodyOf<'mix'>, 'predicted'>,
  enabled: boolean,
): RecordOf<'mix'> | undefined {
  const { parts, basis, powders = [], predicted } = body;
  const { data } = useQuery({
    queryKey: ['mixes', 'twin', basis, parts, powders, predicted?.lab],
    queryFn: async () => {
      const [l, a, b] = predicted!.lab;
      const { body: found } = await client.call('nearest', {
        query: { l, a, b, kind: ['mix'], top: CLOSEST },
      });
      const mixes = ofKind(
        found.near.map(({ record }) => record),
        'mix',
      );
      return (
        mixes.find(
          (mix) =>
            mix.body.basis === basis &&
            sameRecipe(mix.body.parts, parts) &&
            samePowders(mix.body.powders ?? [], powders),
        ) ?? null
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

type Powders = NonNullable<MixParts['powders']>;

function samePowders(one: Powders, other: Powders): boolean {
  const inOrder = (list: Powders) =>
    list.map(({ powderId, share }) => `${powderId} ${share}`).sort();
  return inOrder(one).join() === inOrder(other).join();
}
