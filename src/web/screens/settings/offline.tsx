import { useQuery } from '@tanstack/react-query';
import { whenInWords } from '../../book/when-in-words.ts';
import {
  clearOfflineCopy,
  lastCachedAt,
  saveAgain,
  useBackups,
} from '../../offline/offline-registration.ts';
import { Button } from '../../parts/button.tsx';
import { Part } from '../../parts/field.tsx';

/** Whether this page opens here while Kneadwell does not run, and if not, why. */
export function WithoutProgram() {
  const keeping = useBackups();
  const { data: seen } = useQuery({
    queryKey: ['kept here', keeping],
    queryFn: async () => (await lastCachedAt()) ?? null,
    enabled: keeping === 'kept',
    staleTime: 0,
  });
  return (
    <Part title="Offline use">
      {keeping === 'kept' ? (
        <>
          <p>
            This page opens on this device even then, and shows your book as it was last seen here
            {seen === undefined || seen === null ? '' : `: ${whenInWords(seen)}`}. You can look
            things up and find; to keep something, start Kneadwell again. Your browser’s menu can
            install it, to open like any other program.
          </p>
          <div className="actions">
            <Button onPress={() => void clearOfflineCopy()}>Remove offline copy</Button>
          </div>
        </>
      ) : keeping === 'off' ? (
        <>
          <p>Nothing of your book is kept in this browser; the page opens while Kneadwell runs.</p>
          <div className="actions">
            <Button onPress={() => void saveAgain()}>Save for offline use</Button>
          </div>
        </>
      ) : keeping === 'not a safe address' ? (
        <p>
          Here the page opens only while Kneadwell runs. Browsers keep a page only from their own
          computer or over https, and this is plain http of your home network. On the computer that
          holds the book it opens always.
        </p>
      ) : keeping === 'not this browser' ? (
        <p>
          Here the page opens only while Kneadwell runs: this browser keeps no pages. In a private
          window none does.
        </p>
      ) : (
        <p>Saving Kneadwell on this device for offline use …</p>
      )}
    </Part>
  );
}
