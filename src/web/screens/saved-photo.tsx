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
import { count } from './count.ts';

/** Where in this photo were the readings taken, and what does a new reading give? */
export function SavedPhoto() {
  const { id } = useParams({ from: '/photos/$id' });
  const { record, isPending, error } = useRecord(id);
  if (isPending) return <JobProgress what="Loading the photo" />;
  const none = error instanceof AppError && error.kind === 'not-found';
  if (error !== null && record === undefined && !none) throw error;
  if (record?.kind !== 'photo' || record.deletedAt !== undefined) {
    return (
      <EmptyState
        whole
        title="This photo is no longer in the book"
        actions={<Link to="/tiles">Go to Tiles</Link>}
      >
        {none
          ? 'It may have been deleted for good, or belong to another book.'
          : 'The photo was deleted. You can restore it in Settings, under Deleted items.'}
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
            ? 'Loading its readings.'
            : readings.length === 0
              ? 'No readings come from this photo.'
              : `${count(readings.length, 'reading')} come from this photo. Read the photo again to compare; nothing changes until you accept a new reading.`}
        </p>
      </header>
      <div className="photo-columns">
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
