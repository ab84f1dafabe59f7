import { useQuery } from '@tanstack/react-query';
import { useEffect, useState } from 'react';
import type { CardSize } from '../../../domain/drawing/card-drawing.ts';
import { wordsOf } from '../../book/change.ts';
import { client } from '../../book/client.ts';
import { Button } from '../../parts/button.tsx';
import { Part, Pick } from '../../parts/field.tsx';
import { JobProgress } from '../../parts/job-progress.tsx';
import { Tick } from '../../parts/tick.tsx';
import { saveFile } from './save-file.ts';
import type { Sharing } from './sharing.ts';

const SIZES: readonly (readonly [CardSize, string])[] = [
  ['portrait', 'Portrait, 1080 x 1350'],
  ['square', 'Square, 1080 x 1080'],
  ['landscape', 'Landscape, 1350 x 1080'],
  ['video', 'Video, 1920 x 1080'],
];

/** A recipe card to look at and to save; of several mixes only pages to print. */
export function CardsToSave({
  sharing,
  one,
}: {
  readonly sharing: Sharing;
  readonly one: boolean;
}) {
  const [size, setSize] = useState<CardSize>('portrait');
  const [others, setOthers] = useState(true);
  const [busy, setBusy] = useState(false);
  const card = { ...sharing, size, others };
  const save = async (as: 'png' | 'svg' | 'pdf') => {
    setBusy(true);
    await saveFile(() => client.call('makeCard', { body: { ...card, as } }), `card.${as}`);
    setBusy(false);
  };
  return (
    <Part title="Recipe cards">
      {one ? (
        <>
          <div className="share-ask">
            <Pick label="Picture" value={size} onChange={setSize} options={SIZES} />
            <Tick isSelected={others} onChange={setOthers}>
              With the same colour from other lines
            </Tick>
          </div>
          <CardShown card={card} />
        </>
      ) : (
        <p>
          One page for each recipe. To save a picture, open a mix and press Share. Each card holds
          its recipe as a QR code.
        </p>
      )}
      <div className="actions">
        {one ? (
          <>
            <Button isDisabled={busy} onPress={() => save('png')}>
              Save the picture
            </Button>
            <Button kind="quiet" isDisabled={busy} onPress={() => save('svg')}>
              As SVG
            </Button>
          </>
        ) : null}
        <Button kind="quiet" isDisabled={busy} onPress={() => save('pdf')}>
          Save pages to print (PDF)
        </Button>
      </div>
      {busy ? <JobProgress what="Drawing" /> : null}
    </Part>
  );
}

function CardShown({
  card,
}: {
  readonly card: Sharing & { readonly size: CardSize; readonly others: boolean };
}) {
  const { data, error } = useQuery({
    queryKey: ['share', 'card', card],
    queryFn: async () => (await client.call('makeCard', { body: { ...card, as: 'png' } })).body,
    staleTime: 0,
    gcTime: 0,
  });
  const [url, setUrl] = useState<string>();
  useEffect(() => {
    if (data === undefined) return;
    const made = URL.createObjectURL(new Blob([data as BlobPart], { type: 'image/png' }));
    setUrl(made);
    return () => URL.revokeObjectURL(made);
  }, [data]);
  if (error !== null) return <p className="warning">{wordsOf(error)}</p>;
  if (url === undefined) return <JobProgress what="Drawing the card" />;
  return <img className="share-card" src={url} alt="The recipe card as it will be saved" />;
}
