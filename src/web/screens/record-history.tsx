import { useQuery } from '@tanstack/react-query';
import type { JournalGroup } from '../../domain/records/change.ts';
import { undoChange } from '../book/change.ts';
import { client } from '../book/client.ts';
import { whenInWords } from '../book/when-in-words.ts';
import { Button } from '../parts/button.tsx';

/** The changes of one record, newest first, each with Undo. */
export function RecordHistory({ id }: { readonly id: string }) {
  const { data = [] } = useQuery({
    queryKey: ['history', id],
    queryFn: async () =>
      (await client.call('recordHistory', { params: { id }, query: { limit: 50 } })).body.steps,
  });
  return (
    <ol className="history">
      {data.map(({ group }) => (
        <li key={group.seq}>
          <span>
            {group.what} <span className="soft small">{whenInWords(group.at)}</span>
          </span>
          {group.sort === 'change' && group.state === 'done' ? <UndoButton group={group} /> : null}
        </li>
      ))}
    </ol>
  );
}

/** Undoes one change. */
export function UndoButton({ group }: { readonly group: Pick<JournalGroup, 'seq' | 'what'> }) {
  return (
    <Button kind="quiet" aria-label={`Undo: ${group.what}`} onPress={() => undoChange(group.seq)}>
      Undo
    </Button>
  );
}
