import { useQuery } from '@tanstack/react-query';
import { whenInWords } from '../../book/when-in-words.ts';
import {
  clearOfflineCopy,
  lastCachedAt,
  saveAgain,
  useOfflineState,
} from '../../offline/offline-registration.ts';
import { Button } from '../../parts/button.tsx';
import { Part } from '../../parts/field.tsx';

/** Whether this page opens here while Kneadwell is not running, and if not, why. */
export function Offline() {
  const state = useOfflineState();
  const { data: seen } = useQuery({
    queryKey: ['offline copy', state],
    queryFn: async () => (await lastCachedAt()) ?? null,
    enabled: state === 'saved',
    staleTime: 0,
  });
  return (
    <Part title="Offline use">
      {state === 'saved' ? (
        <>
          <p>
            This page also opens while Kneadwell is not running, with your book as last seen here
            {seen === undefined || seen === null ? '' : ` on ${whenInWords(seen)}`}. To save
            changes, start Kneadwell. You can install this page from your browser’s menu.
          </p>
          <div className="actions">
            <Button onPress={() => clearOfflineCopy()}>Remove offline copy</Button>
          </div>
        </>
      ) : state === 'off' ? (
        <>
          <p>
            There is no offline copy in this browser. The page opens only while Kneadwell is
            running.
          </p>
          <div className="actions">
            <Button onPress={() => saveAgain()}>Save for offline use</Button>
          </div>
        </>
      ) : state === 'not a safe address' ? (
        <p>
          On this device the page opens only while Kneadwell is running: browsers save pages for
          offline use only over https or on the computer that has the book.
        </p>
      ) : state === 'not this browser' ? (
        <p>
          In this browser the page opens only while Kneadwell is running: the browser cannot save
          pages, or this is a private window.
        </p>
      ) : (
        <p>Saving Kneadwell on this device for offline use …</p>
      )}
    </Part>
  );
}
