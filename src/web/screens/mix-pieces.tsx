import { useQueries } from '@tanstack/react-query';
import { useMemo } from 'react';
import type { MixParts } from '../../domain/mix-graph-of-book.ts';
import { percentInWords, powdersNotPredicted } from '../../domain/powders-in-words.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { useClays } from '../book/clays.ts';
import { useColours, useColoursOf } from '../book/colours.ts';
import { titleOfMix, useBlockNames } from '../book/names.ts';
import { recordQuery, useAll } from '../book/queries.ts';
import { useResolvedMix } from '../book/resolved-mix.ts';
import { Pieces } from '../parts/pieces.tsx';

/** The pieces and powders of a mix; mixes among its clays have their own name and colour. */
export function MixPieces({
  mix,
  size = 'card',
}: {
  readonly mix: RecordOf<'mix'>;
  readonly size?: 'bench' | 'card';
}) {
  return (
    <>
      <Pieces size={size} groups={useMixGroups(mix)} />
      <PowderList mix={mix.body} />
    </>
  );
}

export interface PowderHere {
  readonly id: string;
  readonly name: string;
  /** 0-1, by weight, of the whole mix with its powders. */
  readonly share: number;
}

/** The powders of the recipe itself, by name. */
export function usePowders({ powders }: Pick<MixParts, 'powders'>): readonly PowderHere[] {
  const { byId } = useAll('powder');
  return (powders ?? []).map(({ powderId, share }) => ({
    id: powderId,
    name: byId.get(powderId)?.body.name ?? 'a powder',
    share,
  }));
}

/** The powders of a recipe as people read them. */
export function PowderList({ mix }: { readonly mix: Pick<MixParts, 'powders'> }) {
  const powders = usePowders(mix);
  if (powders.length === 0) return null;
  return (
    <ul className="plain" aria-label="Powders">
      {powders.map(({ id, name, share }) => (
        <li key={id}>
          {percentInWords(share)} {name}, by weight
        </li>
      ))}
    </ul>
  );
}

/** What a prediction of this mix leaves out, in words; nothing where no powder is in it, however deep. */
export function useUnpredicted(mix: MixParts): string | undefined {
  const { found } = useResolvedMix(mix.powders === undefined ? mix : undefined);
  const { byId } = useAll('powder');
  const inside = found?.status === 'resolved' ? found.powders.map(({ id }) => id) : [];
  const ids = mix.powders?.map(({ powderId }) => powderId) ?? inside;
  if (ids.length === 0) return undefined;
  return powdersNotPredicted(ids.map((id) => byId.get(id)?.body.name ?? 'a powder'));
}

/** Clays of a mix as groups of pieces. */
export function useMixGroups(mix: { readonly body: Pick<MixParts, 'parts'> }) {
  const { nameOf } = useBlockNames();
  const colours = useColours();
  const ids = useMemo(
    () => [...new Set(mix.body.parts.flatMap(({ of }) => (of.kind === 'mix' ? [of.id] : [])))],
    [mix.body.parts],
  );
  const mixes = useQueries({ queries: ids.map((id) => recordQuery(id)) });
  const ofMixes = useColoursOf(ids);
  const clays = useClays();
  const known = clays.state === 'open' ? clays.clays.byBlock : undefined;
  return mix.body.parts.map(({ of, parts }) => {
    const asked = mixes[ids.indexOf(of.id)]?.data;
    const clay = asked?.kind === 'mix' ? asked : undefined;
    const name =
      of.kind === 'block' ? nameOf(of.id) : clay === undefined ? 'a mix' : titleOfMix(clay);
    return {
      id: of.id,
      kind: of.kind,
      name,
      // A block without a reading has the colour of the open clays.
      lab: colours.of(of.id)?.lab ?? ofMixes.shown(of.id)?.lab ?? known?.get(of.id)?.lab,
      parts,
    };
  });
}
