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
import { count } from '../start.tsx';
import { bytesInWords, kindsInWords } from './kinds-in-words.ts';

const LOOK_MS = 400;
/** A book of any size was closed and opened in it on the machines it was tried on. */
const MOST_LOOKS = 750;

/** What a backup holds beside what is there now; nothing is replaced before a clear yes. */
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
          text: `The book of ${whenInWords(offer.madeAt)} is open. What was lies among the backups.`,
        });
        onClose();
      } else setNo(`${refused} The book is as it was.`);
    } catch (fault) {
      setNo(wordsOf(fault));
    } finally {
      setGoing(false);
    }
  };
  const { holds, now, newerChanges, lacking } = offer;
  return (
    <Dialog title={`The book of ${whenInWords(offer.madeAt)}`} isOpen onClose={leave}>
      <p>It was read to its end and is whole.</p>
      <dl className="beside-now">
        <div>
          <dt>In the backup</dt>
          <dd>
            {holds.studio === undefined ? '' : `${holds.studio}: `}
            {kindsInWords(holds.counts)}.{' '}
            {holds.newest === undefined ? '' : `Last written in ${whenInWords(holds.newest.at)}.`}
          </dd>
        </div>
        <div>
          <dt>In the book now</dt>
          <dd>
            {now.studio === undefined ? '' : `${now.studio}: `}
            {kindsInWords(now.counts)}.{' '}
            {now.newest === undefined ? '' : `Last written in ${whenInWords(now.newest.at)}.`}
          </dd>
        </div>
      </dl>
      <p>
        {newerChanges === undefined
          ? 'It is a backup of another book: that one would stand in place of this one.'
          : newerChanges === 0
            ? 'Nothing was changed since it was made.'
            : `${count(newerChanges, 'change was', 'changes were')} made since; the book would be without ${newerChanges === 1 ? 'it' : 'them'}.`}
        {lacking > 0 ? ` ${count(lacking, 'photo is', 'photos are')} missing in it.` : ''} What is
        there now is backed up first, and can be put back in the same way.
      </p>
      <p className="soft small">
        {offer.fileName}, {bytesInWords(offer.bytes)}, made with {offer.madeWith}.
      </p>
      {going ? <JobProgress what="Backing up what is, then opening the other book" /> : null}
      {no === undefined ? null : (
        <p className="field-no" role="status">
          {no}
        </p>
      )}
      <div className="actions">
        <Button isDisabled={going} onPress={() => void go()}>
          Restore this backup
        </Button>
        <Button kind="main" isDisabled={going} onPress={leave}>
          Cancel
        </Button>
      </div>
    </Dialog>
  );
}

/** Waits till the book is open again; why it was refused, or nothing where it was put in place. */
async function endOf(id: string): Promise<string | undefined> {
  for (let looks = 0; looks < MOST_LOOKS; looks++) {
    await new Promise((resolve) => setTimeout(resolve, LOOK_MS));
    try {
      const { body } = await client.call('listBackups', {});
      if (body.restored?.id !== id) continue;
      const { refused } = body.restored;
      return refused === undefined ? undefined : `${refused.detail} ${refused.hint}`;
    } catch (fault) {
      // Between the two books nobody answers.
      if (!(fault instanceof AppError) || !fault.retry) throw fault;
    }
  }
  return 'The program does not answer any more; start it again.';
}
