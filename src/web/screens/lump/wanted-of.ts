import type { RecordOf } from '../../../domain/records/record.ts';
import { useColoursOf } from '../../book/colours.ts';
import { titleOfMix } from '../../book/names.ts';
import type { RequestAim } from '../../find/find-request.ts';

/** The colour a mix was made for, else the one it has: read, or predicted. */
export function useWantedOf(mix: RecordOf<'mix'> | undefined): RequestAim | undefined {
  const colours = useColoursOf(mix === undefined ? [] : [mix.id]);
  if (mix === undefined) return undefined;
  const { wanted } = mix.body;
  if (wanted !== undefined) return { lab: wanted.lab, words: wanted.name ?? titleOfMix(mix) };
  const lab = colours.shown(mix.id)?.lab ?? mix.body.predicted?.lab;
  return lab === undefined ? undefined : { lab, words: titleOfMix(mix) };
}
