import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import type { BookRecord } from '../../../domain/records/record.ts';
import { sendChange, wordsOf } from '../../book/change.ts';
import { client } from '../../book/client.ts';
import { showNotice } from '../../book/notice.ts';
import { queries } from '../../book/queries.ts';
import { Button } from '../../parts/button.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { Part } from '../../parts/field.tsx';
import { count } from '../count.ts';

/** Deleted records: restore them, or delete them for good. */
export function DeletedRecords() {
  const { data } = useQuery({
    queryKey: ['mixes', 'bin'],
    queryFn: async () =>
      (
        await client.call('listRecords', {
          query: { bin: 'true', sort: 'changed', descending: 'true', limit: 100 },
        })
      ).body,
  });
  const records = data?.records ?? [];
  const [sure, setSure] = useState(false);
  const run = async (what: string, work: () => Promise<unknown>) => {
    try {
      await work();
      await queries.invalidateQueries();
      showNotice({ text: what });
    } catch (fault) {
      showNotice({ text: wordsOf(fault) });
    }
  };
  return (
    <Part title="Deleted items">
      {records.length === 0 ? (
        <p className="soft">Nothing deleted.</p>
      ) : (
        <>
          <ul className="history">
            {records.map((record) => (
              <li key={record.id}>
                <span>
                  {nameOfRecord(record)} <span className="soft small">{record.kind}</span>
                </span>
                <Button
                  kind="quiet"
                  onPress={() =>
                    sendChange(`Restored ${nameOfRecord(record)}`, [
                      { do: 'restore', id: record.id, version: record.version },
                    ]).catch((fault: unknown) => showNotice({ text: wordsOf(fault) }))
                  }
                >
                  Restore {nameOfRecord(record)}
                </Button>
              </li>
            ))}
          </ul>
          <div className="actions">
            <Button onPress={() => setSure(true)}>Delete all for good</Button>
          </div>
        </>
      )}
      <Dialog title="Delete for good?" isOpen={sure} onClose={() => setSure(false)}>
        <p>{count(data?.total ?? 0, 'item')} will be deleted for good. This cannot be undone.</p>
        <div className="actions">
          <Button
            onPress={() => {
              setSure(false);
              void run('All deleted items are gone for good.', () =>
                client.call('purgeDeleted', {}),
              );
            }}
          >
            Delete for good
          </Button>
          <Button kind="main" onPress={() => setSure(false)}>
            Cancel
          </Button>
        </div>
      </Dialog>
    </Part>
  );
}

function nameOfRecord({ id, body }: BookRecord): string {
  const code = 'code' in body ? body.code : undefined;
  const name = 'name' in body ? body.name : 'lid' in body ? body.lid : undefined;
  return [code, name].filter(Boolean).join(' ') || id;
}
