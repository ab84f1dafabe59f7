import { useState } from 'react';
import type { RestoreOfferAnswer } from '../../../api/backup-routes.ts';
import { AppError } from '../../../core/errors.ts';
import { wordsOf } from '../../book/change.ts';
import { client } from '../../book/client.ts';
import { showNotice } from '../../book/notice.ts';
import { queries } from '../../book/queries.ts';
import { whenInWords } from '../../book/when-in-words.ts';
import { Button } from '../../parts/button.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { JobProgress } from '../../parts/job-progress.tsx';
import { count } from '../count.ts';
import { bytesInWords, kindsInWords } from './kinds-in-words.ts';

const LOOK_MS = 400;
/** Enough time to close and open a large book. */
const MOST_LOOKS = 750;

/** Compares a backup with the book; replaces nothing before the user confirms. */
export function RestoreDialog({
  offer,
  onClose,
}: {
  readonly offer: RestoreOfferAnswer;
  readonly onClose: () => void;
}) {
  const [going, setGoing] = useState(false);
  const [no, setNo] = useState<string | undefined>();
  const leave = () => {
    if (going) return;
    void client.call('dropRestore', { params: { id: offer.id } }).catch(() => {});
    onClose();
  };
  const go = async () => {
    setGoing(true);
    setNo(undefined);
    try {
      await client.call('restoreBook', { params: { id: offer.id } });
      const refused = await endOf(offer.id);
      if (refused === undefined) {
        await queries.resetQueries();
        showNotice({
          text: `Restored the backup of ${whenInWords(offer.madeAt)}. The book before it is in the list of backups.`,
        });
        onClose();
      } else setNo(`${refused} Your book was not changed.`);
    } catch (fault) {
      setNo(wordsOf(fault));
    } finally {
      setGoing(false);
    }
  };
  const { holds, now, newerChanges, lacking } = offer;
  return (
    <Dialog title={`Backup of ${whenInWords(offer.madeAt)}`} isOpen onClose={leave}>
      <p>This backup is complete.</p>
      <dl className="beside-now">
        <div>
          <dt>In the backup</dt>
          <dd>
            {holds.studio === undefined ? '' : `${holds.studio}: `}
            {kindsInWords(holds.counts)}.{' '}
            {holds.newest === undefined ? '' : `Last change: ${whenInWords(holds.newest.at)}.`}
          </dd>
        </div>
        <div>
          <dt>In the book now</dt>
          <dd>
            {now.studio === undefined ? '' : `${now.studio}: `}
            {kindsInWords(now.counts)}.{' '}
            {now.newest === undefined ? '' : `Last change: ${whenInWords(now.newest.at)}.`}
          </dd>
        </div>
      </dl>
      <p>
        {newerChanges === undefined
          ? 'This is a backup of another book, which would replace this one.'
          : newerChanges === 0
            ? 'Nothing has changed since this backup.'
            : `You would lose ${count(newerChanges, 'change')} made since this backup.`}
        {lacking > 0 ? ` ${count(lacking, 'photo is', 'photos are')} missing in it.` : ''} Kneadwell
        backs up the current book first, so that you can restore it.
      </p>
      <p className="soft small">
        {offer.fileName}, {bytesInWords(offer.bytes)}, made with {offer.madeWith}.
      </p>
      {going ? <JobProgress what="Backing up the current book, then restoring" /> : null}
      {no === undefined ? null : (
        <p className="field-no" role="status">
          {no}
        </p>
      )}
      <div className="actions">
        <Button isDisabled={going} onPress={() => go()}>
          Restore this backup
        </Button>
        <Button kind="main" isDisabled={going} onPress={leave}>
          Cancel
        </Button>
      </div>
    </Dialog>
  );
}

/** Waits until the book is open again; returns why the restore failed, or nothing. */
async function endOf(id: string): Promise<string | undefined> {
  for (let looks = 0; looks < MOST_LOOKS; looks++) {
    await new Promise((resolve) => setTimeout(resolve, LOOK_MS));
    try {
      const { body } = await client.call('listBackups', {});
      if (body.restored?.id !== id) continue;
      const { refused } = body.restored;
      return refused === undefined ? undefined : `${refused.detail} ${refused.hint}`;
    } catch (fault) {
      // Between the two books the server does not answer.
      if (!(fault instanceof AppError) || !fault.retry) throw fault;
    }
  }
  return 'Kneadwell does not answer. Start it again.';
}
