import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import type { JournalGroup } from '../../../domain/records/change.ts';
import { redoChange } from '../../book/change.ts';
import { client } from '../../book/client.ts';
import { whenInWords } from '../../book/when-in-words.ts';
import { Button } from '../../parts/button.tsx';
import { Part } from '../../parts/field.tsx';
import { UndoButton } from '../record-history.tsx';

const SHOWN = 30;

/** All changes of the book, newest first, each with Undo or Redo. */
export function History() {
  const [before, setBefore] = useState<number | undefined>();
  const { data = [] } = useQuery({
    queryKey: ['changes', before],
    queryFn: async () =>
      (
        await client.call('listChanges', {
          query: { limit: SHOWN, ...(before === undefined ? {} : { before }) },
        })
      ).body.changes as readonly JournalGroup[],
  });
  return (
    <Part title="History">
      <ol className="history">
        {data.map((group) => (
          <li key={group.seq}>
            <span>
              {group.what}{' '}
              <span className="soft small">
                {whenInWords(group.at)}
                {group.state === 'undone' ? ', undone' : ''}
              </span>
            </span>
            {group.sort !== 'change' ? null : group.state === 'done' ? (
              <UndoButton group={group} />
            ) : group.state === 'undone' ? (
              <Button
                kind="quiet"
                aria-label={`Redo: ${group.what}`}
                onPress={() => redoChange(group.seq)}
              >
                Redo
              </Button>
            ) : null}
          </li>
        ))}
      </ol>
      <div className="actions">
        {before === undefined ? null : <Button onPress={() => setBefore(undefined)}>Newest</Button>}
        {data.length < SHOWN ? null : (
          <Button onPress={() => setBefore(data[data.length - 1].seq)}>Older</Button>
        )}
      </div>
    </Part>
  );
}
