import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { FileTrigger } from 'react-aria-components';
import type { RestoreOfferAnswer } from '../../../api/backup-routes.ts';
import { urlOf } from '../../../client/api-client.ts';
import { wordsOf } from '../../book/change.ts';
import { client } from '../../book/client.ts';
import { useJob } from '../../book/job.ts';
import { showNotice } from '../../book/notice.ts';
import { queries } from '../../book/queries.ts';
import { whenInWords } from '../../book/when-in-words.ts';
import { Button } from '../../parts/button.tsx';
import { Part } from '../../parts/field.tsx';
import { JobLine } from '../../parts/job-line.tsx';
import { JobProgress } from '../../parts/job-progress.tsx';
import { bytesInWords } from './kinds-in-words.ts';
import { RestoreDialog } from './restore-dialog.tsx';
import { useOwner } from './use-owner.ts';

const FIRST_SHOWN = 4;

/** Backups: make, download, show and restore. */
export function Backups() {
  const owner = useOwner();
  return (
    <Part title="Backups">
      <p>
        A backup is the whole book in one file. Kneadwell makes one each day while it runs, on the
        same disk. Download one now and then and store the file elsewhere.
      </p>
      {owner === false ? (
        <p className="soft">Make and restore backups on the computer that has the book.</p>
      ) : owner === true ? (
        <BackupList />
      ) : null}
    </Part>
  );
}

function BackupList() {
  const [all, setAll] = useState(false);
  const [looking, setLooking] = useState<string | undefined>();
  const [offer, setOffer] = useState<RestoreOfferAnswer | undefined>();
  const [no, setNo] = useState<string | undefined>();
  const { data } = useQuery({
    queryKey: ['backups'],
    queryFn: async () => (await client.call('listBackups', {})).body,
  });
  const job = useJob(() => {
    void queries.invalidateQueries({ queryKey: ['backups'] });
    showNotice({ text: 'The backup was made and checked.' });
  });
  const look = async (what: string, ask: () => Promise<{ body: RestoreOfferAnswer }>) => {
    setNo(undefined);
    setLooking(what);
    try {
      setOffer((await ask()).body);
    } catch (fault) {
      setNo(wordsOf(fault));
    } finally {
      setLooking(undefined);
    }
  };
  const backups = data?.backups ?? [];
  return (
    <>
      <div className="actions">
        <Button isDisabled={job.running} onPress={() => job.start({ do: 'backup' })}>
          Make a backup now
        </Button>
        <FileTrigger
          acceptedFileTypes={['.zip', 'application/zip']}
          onSelect={(files) => {
            const file = files?.[0];
            if (file === undefined) return;
            void look(file.name, () =>
              client.call(
                'offerBackup',
                { query: { fileName: file.name.slice(0, 200) }, body: file },
                { mediaType: 'application/zip' },
              ),
            );
          }}
        >
          <Button isDisabled={looking !== undefined}>Restore from a file</Button>
        </FileTrigger>
      </div>
      <JobLine here={job} what="Making a backup" />
      {looking === undefined ? null : <JobProgress what={`Checking ${looking}`} />}
      {no === undefined ? null : (
        <p className="field-no" role="status">
          {no}
        </p>
      )}
      {backups.length === 0 ? (
        <p className="soft">No backups yet.</p>
      ) : (
        <ul className="history">
          {backups
            .slice(0, all ? backups.length : FIRST_SHOWN)
            .map(({ name, at, daily, bytes }) => (
              <li key={name}>
                <span>
                  {whenInWords(at)}{' '}
                  <span className="soft small">
                    {bytesInWords(bytes)}
                    {daily ? ', daily' : ''}
                  </span>
                </span>
                <span className="actions">
                  <a
                    className="button"
                    data-kind="quiet"
                    href={urlOf('', 'backupBytes', { params: { name } })}
                    download={name}
                    aria-label={`Download the backup of ${whenInWords(at)}`}
                  >
                    Download
                  </a>
                  <Button
                    kind="quiet"
                    aria-label={`Show contents of the backup of ${whenInWords(at)}`}
                    isDisabled={looking !== undefined}
                    onPress={() =>
                      look(`the backup of ${whenInWords(at)}`, () =>
                        client.call('lookAtBackup', { params: { name } }),
                      )
                    }
                  >
                    Show contents
                  </Button>
                </span>
              </li>
            ))}
        </ul>
      )}
      {backups.length > FIRST_SHOWN && !all ? (
        <div className="actions">
          <Button kind="quiet" onPress={() => setAll(true)}>
            Show all {backups.length}
          </Button>
        </div>
      ) : null}
      {data === undefined ? null : (
        <p className="soft small">
          Your book is in the folder <code>{data.folder}</code>. Its backups are in the folder{' '}
          <code>backups</code> inside that.
        </p>
      )}
      {offer === undefined ? null : (
        <RestoreDialog offer={offer} onClose={() => setOffer(undefined)} />
      )}
    </>
  );
}
