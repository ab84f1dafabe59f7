import { Link, useNavigate, useParams } from '@tanstack/react-router';
import { useState } from 'react';
import { type VerdictWord, verdict, verdictWord } from '../../core/verdict/verdict.ts';
import { differenceInWords } from '../../core/verdict/verdict-in-words.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { changeBook, wordsOf } from '../book/change.ts';
import { useColoursOf } from '../book/colours.ts';
import { useMixColour } from '../book/mix-colour.ts';
import { titleOfMix } from '../book/names.ts';
import { useRecord } from '../book/queries.ts';
import { Button } from '../parts/button.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Part } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { Stack } from '../parts/stack.tsx';
import { Verdict } from '../parts/verdict.tsx';
import { AddTile } from './add-tile.tsx';
import { EditMix } from './edit-mix.tsx';
import { CameFrom, MixesThatUseIt, SimilarMixes, StoredIn, UsedIn } from './mix/around-it.tsx';
import { ItsTiles } from './mix/its-tiles.tsx';
import { MixPieces, useUnpredicted } from './mix-pieces.tsx';
import { RecordHistory } from './record-history.tsx';
import '../look/mix.css';

/** One mix: its recipe, its tiles, and where it is used. */
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
  saved: 'saved',
  retired: 'retired',
};

/** How close a tile should come to the predicted colour. */
const COMES_OUT: Readonly<Record<VerdictWord, string>> = {
  same: 'should come out the same as this',
  match: 'should come out a match for this',
  close: 'should come out close to this',
  family: 'should come out in the same family',
  different: 'may still come out quite different',
};

function predictionInWords(plusMinus: number): string {
  return `Predicted: a tile ${COMES_OUT[verdictWord(plusMinus)]} (± ${plusMinus.toFixed(1)} dE00). Bake one to be sure.`;
}

function OneMix({ mix }: { mix: RecordOf<'mix'> }) {
  const navigate = useNavigate();
  const [dialog, setDialog] = useState<'edit' | 'tile' | undefined>();
  const { body } = mix;
  const read = useColoursOf([mix.id]).of(mix.id);
  const { lab, from } = useMixColour(mix.id);
  // What was said of it when it was saved holds as long as the clay model says the same colour.
  const isAsSaved =
    lab !== undefined &&
    body.predicted !== undefined &&
    verdict(body.predicted.lab, lab).word === 'same';
  const unpredicted = useUnpredicted(body);
  const title = titleOfMix(mix);
  const move = async (way: 'delete' | 'restore') => {
    try {
      await changeBook(`${way === 'delete' ? 'Deleted' : 'Restored'} the mix ${title}`, [
        { do: way, id: mix.id, version: mix.version },
      ]);
      if (way === 'delete') await navigate({ to: '/book' });
    } catch (fault) {
      const { showNotice } = await import('../book/notice.ts');
      showNotice({ text: wordsOf(fault) });
    }
  };
  return (
    <div className="screen">
      <header>
        <h1>
          {body.code === undefined ? null : <span className="code">{body.code} </span>}
          {body.name ?? (body.code === undefined ? 'A mix' : '')}
        </h1>
        <p className="soft">
          {STATUS[body.status]}, by {body.basis}
          {(body.tags ?? []).length === 0 ? '' : `, ${body.tags!.map((t) => `#${t}`).join(' ')}`}
          {mix.deletedAt === undefined ? '' : '. Deleted.'}
        </p>
      </header>
      <section className="bench" aria-label="Colour and recipe">
        <Stack
          layers={
            read !== undefined && body.predicted !== undefined
              ? [
                  { name: 'Predicted', lab: body.predicted.lab },
                  { name: read.state === 'raw' ? 'Raw' : 'Baked', note: 'its tile', lab: read.lab },
                ]
              : [{ name: 'Colour', lab, coming: from === 'coming' }]
          }
          foot={{ name: 'Pieces' }}
        >
          <MixPieces mix={mix} size="bench" />
        </Stack>
      </section>
      <section className="stack" aria-label="Verdict">
        {read !== undefined && body.predicted !== undefined ? (
          <Verdict words={differenceInWords(body.predicted.lab, read.lab)} />
        ) : (
          <p>
            {from === 'coming'
              ? 'Calculating colour …'
              : lab === undefined
                ? 'No colour yet. Bake a tile and add a reading.'
                : from === 'now' && !isAsSaved
                  ? 'Predicted from your clays. Bake a tile to be sure.'
                  : read === undefined
                    ? predictionInWords(body.predicted!.plusMinus)
                    : `Colour of its ${read.state} tile, ${read.readingKind}.`}
            {unpredicted === undefined || read !== undefined ? '' : ` ${unpredicted}`}
          </p>
        )}
        <div className="actions">
          <Link className="button" data-kind="main" to="/book/$id/mixing" params={{ id: mix.id }}>
            Start mixing
          </Link>
          <Button onPress={() => setDialog('tile')}>Add a reading</Button>
          <Link className="button" to="/tiles/photo">
            Add a reading from a photo
          </Link>
          {lab === undefined ? null : (
            <Link
              className="button"
              to="/find"
              search={{ aim: lab.map((v) => v.toFixed(2)).join('_'), called: title }}
            >
              Find recipes again
            </Link>
          )}
          <Button onPress={() => setDialog('edit')}>Edit</Button>
          <Button
            kind="quiet"
            onPress={() => void move(mix.deletedAt === undefined ? 'delete' : 'restore')}
          >
            {mix.deletedAt === undefined ? 'Delete' : 'Restore'}
          </Button>
        </div>
      </section>
      {body.note === undefined ? null : <p className="lead">{body.note}</p>}
      {body.written === undefined ? null : (
        <p className="soft">From your paper notes: {body.written}</p>
      )}
      {body.cameFromId === undefined ? null : <CameFrom id={body.cameFromId} />}
      <div className="mix-around">
        <Part title="Tiles">
          <ItsTiles id={mix.id} />
        </Part>
        {lab === undefined ? null : (
          <Part title="Similar mixes">
            <SimilarMixes id={mix.id} lab={lab} />
          </Part>
        )}
        <Part title="Mixes that use it">
          <MixesThatUseIt id={mix.id} />
        </Part>
        <Part title="Used in figures">
          <UsedIn id={mix.id} />
        </Part>
        <Part title="Stored in">
          <StoredIn id={mix.id} />
        </Part>
        <Part title="History">
          <RecordHistory id={mix.id} />
        </Part>
      </div>
      {dialog === 'edit' ? <EditMix mix={mix} onClose={() => setDialog(undefined)} /> : null}
      {dialog === 'tile' ? (
        <AddTile
          of={{ kind: 'mix', id: mix.id }}
          code={body.code}
          title={title}
          basis={body.basis}
          onClose={() => setDialog(undefined)}
        />
      ) : null}
    </div>
  );
}
