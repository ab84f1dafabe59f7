import '../look/photo.css';
import { Link, useParams } from '@tanstack/react-router';
import { useState } from 'react';
import { AppError } from '../../core/errors.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { useRecord } from '../book/queries.ts';
import { EmptyState } from '../parts/empty-state.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { SavedPanel } from '../photo/saved-panel.tsx';
import { SavedReadings } from '../photo/saved-readings.tsx';
import { useAgain, useReadingsOf } from '../photo/use-saved-photo.ts';
import { count } from './start.tsx';

/** Where in a photo were these readings taken, and what does it say when it is read again? */
export function SavedPhoto() {
  const { id } = useParams({ from: '/photos/$id' });
  const { record, isPending, error } = useRecord(id);
  if (isPending) return <JobProgress what="Looking for the photo" />;
  const none = error instanceof AppError && error.kind === 'not-found';
  if (error !== null && record === undefined && !none) throw error;
  if (record?.kind !== 'photo' || record.deletedAt !== undefined) {
    return (
      <EmptyState
        whole
        title="This photo is not in the book any more"
        actions={<Link to="/tiles">Go to Tiles</Link>}
      >
        {none
          ? 'It may have been emptied from the bin, or belong to another book.'
          : 'What was thrown away lies in the bin, in Settings, until it is emptied.'}
      </EmptyState>
    );
  }
  return <InBook key={id} photo={record as RecordOf<'photo'>} />;
}

function InBook({ photo }: { readonly photo: RecordOf<'photo'> }) {
  const { readings, isPending } = useReadingsOf(photo.id);
  const again = useAgain(
    photo,
    readings.map(({ reading }) => reading),
  );
  const [changed, setChanged] = useState(0);
  return (
    <div className="screen">
      <header>
        <h1>{photo.body.name ?? photo.body.fileName ?? 'A photo'}</h1>
        <p className="soft">
          {isPending
            ? 'Looking for what was read in it.'
            : readings.length === 0
              ? 'Nothing in the book was read in it.'
              : `${count(readings.length, 'reading')} of the book came of it. Read again, each is shown beside what is kept; nothing changes before you take it.`}
        </p>
      </header>
      <div className="photo-desk">
        <SavedPanel photo={photo} readings={readings} again={again} />
        <SavedReadings
          photo={photo}
          readings={readings}
          again={again}
          changed={changed}
          onTaken={setChanged}
        />
      </div>
    </div>
  );
}
