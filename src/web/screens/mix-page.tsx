import '../look/mix.css';
import '../look/tiles.css';
import { Link, useNavigate, useParams, useSearch } from '@tanstack/react-router';
import { useState } from 'react';
import type { RecordOf } from '../../domain/records/record.ts';
import { sendChange, wordsOf } from '../book/change.ts';
import { titleOfMix } from '../book/names.ts';
import { showNotice } from '../book/notice.ts';
import { useRecord } from '../book/queries.ts';
import { labInAddress } from '../colour/lab-in-address.ts';
import { Button } from '../parts/button.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Part } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { Stack } from '../parts/stack.tsx';
import { VerdictLine } from '../parts/verdict.tsx';
import { AddTile } from './add-tile.tsx';
import { count } from './count.ts';
import { EditMix } from './edit-mix.tsx';
import { CameFrom, MixesThatUseIt, SharedBy } from './mix/around-it.tsx';
import { ClosestInBook } from './mix/closest-in-book.tsx';
import { FromBlocks } from './mix/from-blocks.tsx';
import { ItsLife } from './mix/its-life.tsx';
import { ItsTiles } from './mix/its-tiles.tsx';
import { useMixStages } from './mix/mix-stages.ts';
import { mixVerdict } from './mix/mix-verdict.ts';
import { SameColour } from './mix/same-colour.tsx';
import { MixPieces, useUnpredicted } from './mix-pieces.tsx';
import { RecordHistory } from './record-history.tsx';
import { Handling } from './stock/handling.tsx';

/** One mix: every colour it had or was to have, its recipe, its tiles, and what is close to it. */
export function MixPage() {
  const { id } = useParams({ strict: false }) as { id: string };
  const { record, isPending, error } = useRecord(id);
  if (isPending) return <JobProgress what="Loading" />;
  if (record === undefined || record.kind !== 'mix') {
    return (
      <EmptyState whole title="No such mix" actions={<Link to="/book">Go to the mix book</Link>}>
        {error === null ? 'There is no mix at this address.' : wordsOf(error)}
      </EmptyState>
    );
  }
  return <OneMix mix={record} />;
}

const STATUS: Readonly<Record<RecordOf<'mix'>['body']['status'], string>> = {
  idea: 'idea',
  test: 'test mix',
  saved: '',
  retired: 'retired',
};

function OneMix({ mix }: { mix: RecordOf<'mix'> }) {
  const [dialog, setDialog] = useState<'edit' | 'tile' | undefined>(
    useSearch({ strict: false }).tile === 'new' ? 'tile' : undefined,
  );
  const { body } = mix;
  const stages = useMixStages(mix);
  const { best, samples } = stages;
  const unpredicted = useUnpredicted(body);
  const title = titleOfMix(mix);
  const coming = stages.layers.some((layer) => layer.coming && layer.lab === undefined);
  const words = mixVerdict(stages);
  const parts = body.parts.reduce((sum, one) => sum + one.parts, 0);
  const said = [
    STATUS[body.status],
    ...(body.tags ?? []).map((tag) => `#${tag}`),
    mix.deletedAt === undefined ? '' : 'deleted',
  ].filter(Boolean);
  return (
    <div className="screen mix">
      <header className="mix-head">
        <div className="mix-title">
          <h1>
            {body.name ?? (body.code === undefined ? 'A mix' : '')}
            {body.code === undefined ? null : (
              <>
                {' '}
                <span className="code-stamp">{body.code}</span>
              </>
            )}
          </h1>
          {said.length === 0 ? null : <p className="soft small">{said.join(', ')}</p>}
        </div>
        <div className="actions mix-actions">
          <Link className="button" data-kind="main" to="/book/$id/mixing" params={{ id: mix.id }}>
            Start mixing
          </Link>
          <Button onPress={() => setDialog('tile')}>Add a reading</Button>
        </div>
        <MoreActions mix={mix} onEdit={() => setDialog('edit')} />
      </header>
      <section className="bench" aria-label="Colour and recipe">
        <Stack
          layers={stages.layers}
          foot={{
            name: 'Pieces',
            note: `${count(Number(parts.toFixed(2)), 'part')} by ${body.basis}`,
          }}
        >
          <MixPieces mix={mix} size="bench" />
        </Stack>
      </section>
      <div className="mix-columns">
        <section className="stack" aria-label="Verdict">
          {coming ? (
            <p className="verdict-head serif">Working out the colour …</p>
          ) : (
            <VerdictLine words={words}>
              {words.also === undefined ? null : <p>{words.also}</p>}
              {unpredicted === undefined ? null : <p>{unpredicted}</p>}
            </VerdictLine>
          )}
          <div className="actions">
            {best === undefined ? null : (
              <Link
                className="button"
                to="/find"
                search={{
                  aim: labInAddress(stages.wanted ?? best),
                  called: title,
                }}
              >
                Find recipes again
              </Link>
            )}
          </div>
          <ul className="mix-ways">
            <li>
              <Link to="/mend" search={{ mix: mix.id }}>
                Mend a lump of it
              </Link>
            </li>
            <li>
              <Link to="/try" search={{ mix: mix.id }}>
                Roll three test balls
              </Link>
            </li>
            <li>
              <Link to="/even-steps" search={{ from: `mix ${mix.id}` }}>
                Even steps to another colour
              </Link>
            </li>
            <li>
              <Link to="/other-clays" search={{ mix: mix.id }}>
                The same with other clays
              </Link>
            </li>
            <li>
              <Link to="/tiles/photo">Read its tile from a photo</Link>
            </li>
            <li>
              <Link to="/share" search={{ mix: mix.id }}>
                Share this recipe
              </Link>
            </li>
          </ul>
          <SameColour mix={mix} />
          <SharedBy mix={mix} />
          {body.note === undefined ? null : <p className="lead">{body.note}</p>}
          {body.written === undefined ? null : (
            <p className="soft small">From your paper notes: {body.written}</p>
          )}
          {body.cameFromId === undefined ? null : <CameFrom id={body.cameFromId} />}
        </section>
        <Part title="From your blocks">
          <FromBlocks mix={mix} />
        </Part>
        <div className="stack">
          {best === undefined ? null : (
            <Part title="Closest in your book">
              <ClosestInBook mix={mix} lab={best} />
            </Part>
          )}
          <Part title="Handling">
            <Handling of={{ kind: 'mix', id: mix.id, name: title }} />
          </Part>
          <Part title="Its life">
            <ItsLife mix={mix} samples={samples} />
          </Part>
        </div>
        <Part title="Tiles" look="mix-wide">
          <ItsTiles samples={samples} id={mix.id} />
        </Part>
        <MixesThatUseIt id={mix.id} />
        <details className="mix-wide">
          <summary>History</summary>
          <RecordHistory id={mix.id} />
        </details>
      </div>
      {dialog === 'edit' ? <EditMix mix={mix} onClose={() => setDialog(undefined)} /> : null}
      {dialog === 'tile' ? (
        <AddTile
          of={{ kind: 'mix', id: mix.id }}
          code={body.code}
          title={title}
          basis={body.basis}
          start={stages.predicted?.lab}
          onClose={() => setDialog(undefined)}
        />
      ) : null}
    </div>
  );
}

function MoreActions({
  mix,
  onEdit,
}: {
  readonly mix: RecordOf<'mix'>;
  readonly onEdit: () => void;
}) {
  const navigate = useNavigate();
  const way = mix.deletedAt === undefined ? 'delete' : 'restore';
  const move = async () => {
    const words = way === 'delete' ? 'Deleted' : 'Restored';
    try {
      await sendChange(`${words} the mix ${titleOfMix(mix)}`, [
        { do: way, id: mix.id, version: mix.version },
      ]);
      if (way === 'delete') await navigate({ to: '/book' });
    } catch (fault) {
      showNotice({ text: wordsOf(fault) });
    }
  };
  return (
    <div className="actions mix-more">
      <Button kind="quiet" onPress={onEdit}>
        Edit
      </Button>
      <Button kind="quiet" onPress={() => move()}>
        {way === 'delete' ? 'Delete' : 'Restore'}
      </Button>
    </div>
  );
}
