import { useQuery } from '@tanstack/react-query';
import type { Lab } from '../../../core/colour/triples.ts';
import { labOfReading } from '../../../domain/records/lab-of-reading.ts';
import { ofKind } from '../../../domain/records/of-kind.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { client } from '../../book/client.ts';
import { type Samples, useSamples } from '../../book/colours.ts';
import { type MixShown, useMixPrediction } from '../../book/mix-prediction.ts';
import { dayInWords } from '../../book/when-in-words.ts';
import type { Layer } from '../../parts/stack.tsx';

export interface MixStages {
  readonly layers: readonly Layer[];
  readonly wanted: Lab | undefined;
  readonly predicted: MixShown | undefined;
  /** The best reading of a baked tile, else of a raw one. */
  readonly read: Lab | undefined;
  /** The colour to compare with others: as read, else as predicted. */
  readonly best: Lab | undefined;
  readonly samples: Samples;
}

/** Every stage a mix has been through: wanted, predicted, raw, baked. */
export function useMixStages(mix: RecordOf<'mix'>): MixStages {
  const samples = useSamples(mix.id);
  const { predicted, isPending } = useMixPrediction(mix);
  const wanted = useWanted(mix);
  const raw = stage(samples, 'raw');
  const baked = stage(samples, 'baked');
  const read = (baked ?? raw)?.lab;
  const layers: Layer[] = [
    ...(wanted === undefined ? [] : [{ name: 'Wanted', note: wanted.note, lab: wanted.lab }]),
    ...(predicted === undefined && !isPending && read !== undefined
      ? []
      : [
          {
            name: 'Predicted',
            lab: predicted?.lab,
            coming: isPending || samples.isPending,
            ...(predicted?.covariance === undefined ? {} : { covariance: predicted.covariance }),
          },
        ]),
    ...(raw === undefined ? [] : [{ name: 'Raw', ...raw }]),
    ...(baked === undefined ? [] : [{ name: 'Baked', ...baked }]),
  ];
  return { layers, wanted: wanted?.lab, predicted, read, best: read ?? predicted?.lab, samples };
}

function stage({ readings, tiles }: Samples, state: 'raw' | 'baked') {
  const best = readings.find(
    ({ body }) => body.state === state && labOfReading(body) !== undefined,
  );
  if (best === undefined) return undefined;
  const tile = tiles.find(({ id }) => id === best.body.of.id);
  const day = state === 'baked' ? tile?.body.bakes.at(-1)?.day : tile?.body.madeOn;
  const kind = best.body.override?.lab === undefined ? best.body.readingKind : 'by eye';
  const note = day === undefined ? kind : `tile of ${dayInWords(day)}`;
  return { lab: labOfReading(best.body)!, note };
}

/** The colour the mix was made for: saved with the mix, or named by a palette. */
function useWanted(
  mix: RecordOf<'mix'>,
): { readonly lab: Lab; readonly note: string | undefined } | undefined {
  const own = mix.body.wanted;
  const { data } = useQuery({
    queryKey: ['mixes', 'wanted by palettes', mix.id],
    queryFn: async () => {
      const { body } = await client.call('listRecords', {
        query: { uses: mix.id, kind: 'palette', sort: 'changed', descending: 'true', limit: 1 },
      });
      return ofKind(body.records, 'palette');
    },
    enabled: own === undefined,
  });
  if (own !== undefined) return { lab: own.lab, note: own.name };
  const [palette] = data ?? [];
  const aim = palette?.body.aims.find(({ mixId }) => mixId === mix.id);
  return aim === undefined ? undefined : { lab: aim.lab, note: palette.body.name };
}
