import '../look/mix.css';
import '../look/tiles.css';
import { Link, useParams } from '@tanstack/react-router';
import { useState } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import { sideInWords, sidesOf, verdict } from '../../core/verdict/verdict.ts';
import { differenceInWords } from '../../core/verdict/verdict-in-words.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { wordsOf } from '../book/change.ts';
import { useSamples } from '../book/colours.ts';
import { type MixShown, usePartsPrediction } from '../book/mix-prediction.ts';
import { titleOfMix, useBlockNames } from '../book/names.ts';
import { useRecord } from '../book/queries.ts';
import { Button } from '../parts/button.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Part } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { Pieces } from '../parts/pieces.tsx';
import { Stack } from '../parts/stack.tsx';
import { VerdictLine } from '../parts/verdict.tsx';
import { AddTile } from './add-tile.tsx';
import { useMixGroups } from './mix-pieces.tsx';
import { RecordHistory } from './record-history.tsx';
import { EditTile } from './tiles/edit-tile.tsx';
import { Override } from './tiles/override.tsx';
import { useTileLife } from './tiles/tile-life.ts';

/** One tile with its life: predicted, raw, baked, how it was made, and what the user noted. */
export function TilePage() {
  const { id } = useParams({ strict: false }) as { id: string };
  const { record, isPending, error } = useRecord(id);
  if (isPending) return <JobProgress what="Loading" />;
  if (record === undefined || record.kind !== 'tile') {
    return (
      <EmptyState whole title="No such tile" actions={<Link to="/tiles">Go to Tiles</Link>}>
        {error === null ? 'There is no tile at this address.' : wordsOf(error)}
      </EmptyState>
    );
  }
  return <OneTile tile={record} />;
}

function OneTile({ tile }: { readonly tile: RecordOf<'tile'> }) {
  const [dialog, setDialog] = useState<'edit' | 'reading' | undefined>();
  const [judging, setJudging] = useState<RecordOf<'reading'> | undefined>();
  const { body } = tile;
  const samples = useSamples(tile.id);
  const of = useMadeOf(tile);
  const groups = useMixGroups({ body: of.mix });
  const { predicted, isPending } = usePartsPrediction(of.mix);
  const life = useTileLife(tile, samples.readings);
  const title = body.code ?? body.name ?? of.title;
  const layers = [
    ...(predicted === undefined && !isPending
      ? []
      : [
          {
            name: 'Predicted',
            lab: predicted?.lab,
            coming: isPending,
            ...(predicted?.covariance === undefined ? {} : { covariance: predicted.covariance }),
          },
        ]),
    ...(life.raw === undefined ? [] : [{ name: 'Raw', lab: life.raw }]),
    ...(life.baked === undefined ? [] : [{ name: 'Baked', lab: life.baked }]),
  ];
  return (
    <div className="screen mix">
      <header className="mix-head">
        <div className="mix-title">
          <h1>
            {title}
            {title === of.title ? null : <span className="tile-of"> {of.title}</span>}
          </h1>
        </div>
        <div className="actions mix-actions">
          <Button kind="main" onPress={() => setDialog('reading')}>
            Add a reading
          </Button>
          <Button onPress={() => setDialog('edit')}>Edit</Button>
        </div>
        <div className="actions mix-more">
          {of.mixId === undefined ? null : (
            <Link className="button" data-kind="quiet" to="/book/$id" params={{ id: of.mixId }}>
              Open the mix
            </Link>
          )}
        </div>
      </header>
      <section className="bench" aria-label="Colours of the tile">
        <Stack
          layers={layers.length === 0 ? [{ name: 'Colour', lab: undefined }] : layers}
          foot={{ name: 'Pieces' }}
        >
          <Pieces groups={groups} />
        </Stack>
      </section>
      <div className="mix-columns">
        <section aria-label="Verdict">
          <VerdictLine words={tileVerdict(predicted, life)}>
            {life.raw === undefined || life.baked === undefined ? null : (
              <p>{bakingInWords(life.raw, life.baked)}</p>
            )}
          </VerdictLine>
        </section>
        <Part title="Its life">
          <TileFacts tile={tile} facts={life.facts} />
        </Part>
        <Part title="Readings">
          <Readings readings={samples.readings} onJudge={setJudging} />
        </Part>
        <details className="mix-wide">
          <summary>History</summary>
          <RecordHistory id={tile.id} />
        </details>
      </div>
      {dialog === 'edit' ? <EditTile tile={tile} onClose={() => setDialog(undefined)} /> : null}
      {dialog === 'reading' ? (
        <AddTile
          of={body.of}
          code={body.code}
          title={of.title}
          basis={body.basis}
          start={predicted?.lab}
          into={tile}
          onClose={() => setDialog(undefined)}
        />
      ) : null}
      {judging === undefined ? null : (
        <Override reading={judging} onClose={() => setJudging(undefined)} />
      )}
    </div>
  );
}

/** What the tile is a sample of, as a recipe and in words. */
function useMadeOf({ body }: RecordOf<'tile'>) {
  const { of, basis } = body;
  const { nameOf } = useBlockNames();
  const mixId = 'id' in of && of.kind === 'mix' ? of.id : undefined;
  const { record } = useRecord(mixId);
  const mix = record?.kind === 'mix' ? record : undefined;
  if (mix !== undefined) return { title: titleOfMix(mix), mix: mix.body, mixId };
  if ('parts' in of) {
    const title = of.parts.map((one) => `${one.parts} ${nameOf(one.of.id)}`).join(' + ');
    return { title, mix: { parts: of.parts, basis }, mixId };
  }
  const title = of.kind === 'block' ? nameOf(of.id) : 'a mix';
  return { title, mix: { parts: [{ of, parts: 1 }], basis }, mixId };
}

function tileVerdict(
  predicted: MixShown | undefined,
  { raw, baked }: { readonly raw: Lab | undefined; readonly baked: Lab | undefined },
) {
  if (baked !== undefined && predicted !== undefined) {
    const { miss } = differenceInWords(predicted.lab, baked);
    const { word } = verdict(predicted.lab, baked);
    return word === 'same' || word === 'match'
      ? { head: 'As predicted', miss: '' }
      : { head: 'Not as predicted', miss: `${miss} Worth a second look.` };
  }
  if (baked !== undefined) return { head: 'Baked and read', miss: '' };
  if (raw !== undefined) return { head: 'Raw', miss: 'Read the tile again once it is baked.' };
  return {
    head: 'Not read yet',
    miss: 'A tile without a colour is fine. Read it whenever you like.',
  };
}

function bakingInWords(raw: Lab, baked: Lab): string {
  const [first] = sidesOf(raw, baked);
  return first.size < 0.8 ? 'Baking hardly changed it.' : `Baking made it ${sideInWords(first)}.`;
}

function TileFacts({
  tile: { body },
  facts,
}: {
  readonly tile: RecordOf<'tile'>;
  readonly facts: readonly string[];
}) {
  return (
    <>
      <ul className="plain">
        {facts.map((fact) => (
          <li key={fact}>{fact}</li>
        ))}
        {(body.condition ?? []).length === 0 ? null : <li>{body.condition!.join(', ')}</li>}
      </ul>
      {body.note === undefined ? null : <p>{body.note}</p>}
    </>
  );
}

function Readings({
  readings,
  onJudge,
}: {
  readonly readings: readonly RecordOf<'reading'>[];
  readonly onJudge: (reading: RecordOf<'reading'>) => void;
}) {
  if (readings.length === 0) return <p className="soft">None yet.</p>;
  return (
    <ul className="history">
      {readings.map((reading) => {
        const { id, body } = reading;
        const kind = body.override?.lab === undefined ? body.readingKind : 'your own colour';
        return (
          <li key={id}>
            <span>
              {body.state}, {kind}
            </span>
            <span className="actions">
              {body.photoId === undefined ? null : (
                <Link
                  className="button"
                  data-kind="quiet"
                  to="/photos/$id"
                  params={{ id: body.photoId }}
                >
                  Show in photo
                </Link>
              )}
              <Button
                kind="quiet"
                aria-label={`Override by eye: the ${body.state} reading`}
                onPress={() => onJudge(reading)}
              >
                Override by eye
              </Button>
            </span>
          </li>
        );
      })}
    </ul>
  );
}
