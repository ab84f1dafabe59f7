import { useQueries } from '@tanstack/react-query';
import { useMemo } from 'react';
import type { RecordOf } from '../../domain/records/record.ts';
import { useClays } from '../book/clays.ts';
import { useColours, useColoursOf } from '../book/colours.ts';
import { titleOfMix, useBlockNames } from '../book/names.ts';
import { recordQuery } from '../book/queries.ts';
import { PieceRow } from '../parts/piece-row.tsx';

/** The pieces of a mix of the book; mixes among its clays by their own name and colour. */
export function MixPieces({
  mix,
  size = 'small',
}: {
  readonly mix: RecordOf<'mix'>;
  readonly size?: 'small' | 'middle' | 'large';
}) {
  return <PieceRow size={size} groups={useMixGroups(mix)} />;
}

/** Clays of a mix as groups of pieces. */
export function useMixGroups(mix: RecordOf<'mix'>) {
  const { nameOf } = useBlockNames();
  const colours = useColours();
  const ids = useMemo(
    () => [...new Set(mix.body.parts.flatMap(({ of }) => (of.kind === 'mix' ? [of.id] : [])))],
    [mix],
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
      // A block no tile was made of is shown as the open clays have it.
      lab:
        colours.of(of.id)?.lab ??
        ofMixes.of(of.id)?.lab ??
        clay?.body.predicted?.lab ??
        known?.get(of.id)?.lab,
      parts,
    };
  });
}
