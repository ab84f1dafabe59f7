import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { urlOf } from '../../client/api-client.ts';
import { PAPERS, type PaperName, traySheetLayout } from '../../core/photo/sheet-layout.ts';
import { ofKind } from '../../domain/records/of-kind.ts';
import { client } from '../book/client.ts';
import { useColoursOf } from '../book/colours.ts';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { Field } from '../parts/field.tsx';
import { changePhotoSession } from './photo-session-store.ts';

const NEWEST = 100;

/** The tray sheet to print, with the codes of its tiles. */
export function PrintSheet({ onClose }: { readonly onClose: () => void }) {
  const [paper, setPaper] = useState<PaperName>('A4');
  const [said, setSaid] = useState<string | undefined>();
  const { data: newest = [] } = useQuery({
    queryKey: ['mixes', 'codes for a sheet'],
    queryFn: async () => {
      const { body } = await client.call('listRecords', {
        query: { kind: 'mix', sort: 'changed', descending: 'true', limit: NEWEST },
      });
      return ofKind(body.records, 'mix');
    },
  });
  const places = traySheetLayout(paper).places.length;
  const colours = useColoursOf(newest.map(({ id }) => id));
  const unread = newest.flatMap(({ id, body: { code } }) =>
    code === undefined || colours.isPending || colours.of(id) !== undefined ? [] : [code],
  );
  const text = said ?? unread.slice(0, places).join('\n');
  const codes = text
    .split('\n')
    .map((code) => code.trim())
    .slice(0, places);
  const filled = codes.map((code, i) => (code === '' ? String(i + 1) : code.slice(0, 40)));
  const sent = codes.some((code) => code !== '') ? { codes: filled } : {};
  return (
    <Dialog title="Print a tray sheet" isOpen onClose={onClose}>
      <p>
        Print at 100 % on plain white paper and check the ruler. Put baked, cooled tiles on the
        crosses, and a chart of 24 patches in the frame if you have one. Use one lamp or window from
        the side: no flash, no bright colours nearby.
      </p>
      <Choice<PaperName>
        label="Paper"
        value={paper}
        onChange={setPaper}
        options={PAPERS.map((name) => [name, name] as const)}
      />
      <Field
        label="Tile codes, one per line, in order of place"
        help={
          said === undefined && unread.length > 0
            ? 'Filled in: your newest mixes without a reading.'
            : `${places} places. An empty line leaves its place without a code.`
        }
        rows={6}
        value={text}
        onChange={setSaid}
      />
      <div className="actions">
        <a
          className="button"
          data-kind="main"
          href={urlOf(client.options.baseUrl, 'traySheet', { query: { paper, ...sent } })}
          download={`tray-sheet-${paper}.pdf`}
          onClick={() => changePhotoSession((now) => ({ ...now, printed: codes }))}
        >
          Download PDF
        </a>
        <Button kind="quiet" onPress={onClose}>
          Close
        </Button>
      </div>
    </Dialog>
  );
}
