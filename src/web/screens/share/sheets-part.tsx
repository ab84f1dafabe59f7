import { useState } from 'react';
import { client } from '../../book/client.ts';
import { useAll } from '../../book/queries.ts';
import { Button } from '../../parts/button.tsx';
import { Field, Part, Pick } from '../../parts/field.tsx';
import { JobProgress } from '../../parts/job-progress.tsx';
import { Tick } from '../../parts/tick.tsx';
import { saveFile } from './save-file.ts';
import type { Sharing } from './sharing.ts';

/** Sizes of a sheet of labels as a ruler says them, with what a common sheet has. */
const SHEET = [
  ['columns', 'Labels side by side', '3'],
  ['rows', 'Labels below each other', '8'],
  ['widthMm', 'Width of a label, mm', '63.5'],
  ['heightMm', 'Height of a label, mm', '33.9'],
  ['leftMm', 'From the left edge, mm', '7.2'],
  ['topMm', 'From the top, mm', '12.9'],
  ['gapAcrossMm', 'Between columns, mm', '2.5'],
  ['gapDownMm', 'Between rows, mm', '0'],
  ['skip', 'Labels already gone', '0'],
] as const;
type Key = (typeof SHEET)[number][0];

/** Labels, charts and lists on paper. */
export function SheetsPart({ sharing }: { readonly sharing: Sharing }) {
  const [typed, setTyped] = useState<Readonly<Partial<Record<Key, string>>>>({});
  const [qr, setQr] = useState(false);
  const [testPage, setTestPage] = useState(true);
  const lines = useAll('line').records;
  const [lineId, setLineId] = useState('');
  const [pupils, setPupils] = useState('10');
  const [busy, setBusy] = useState(false);
  const numberOf = (text: string) => Number(text.replace(',', '.'));
  const sheet = Object.fromEntries(
    SHEET.map(([key, , usual]) => [key, numberOf(typed[key] ?? usual)]),
  );
  const save = async (body: Parameters<typeof callFor>[0], name: string) => {
    setBusy(true);
    await saveFile(() => callFor(body), name);
    setBusy(false);
  };
  return (
    <Part title="On paper">
      <h3>Labels for tiles and boxes</h3>
      <p className="soft small">
        Measure your sheet with a ruler. Print the test page first and hold it against a sheet.
        Print at 100 %.
      </p>
      <div className="share-sheet">
        {SHEET.map(([key, label, usual]) => (
          <Field
            key={key}
            label={label}
            inputMode="decimal"
            value={typed[key] ?? usual}
            onChange={(text) => setTyped({ ...typed, [key]: text })}
            no={Number.isFinite(numberOf(typed[key] ?? usual)) ? undefined : 'Type a number.'}
          />
        ))}
      </div>
      <div className="share-ticks">
        <Tick isSelected={qr} onChange={setQr}>
          With a QR code
        </Tick>
        <Tick isSelected={testPage} onChange={setTestPage}>
          Test page first
        </Tick>
      </div>
      <div className="actions">
        <Button
          isDisabled={busy}
          onPress={() => save({ what: 'labels', ...sharing, sheet, qr, testPage }, 'labels.pdf')}
        >
          Save labels (PDF)
        </Button>
      </div>
      <h3>Charts and lists</h3>
      <Pick
        label="Colours of the chart"
        value={lineId}
        onChange={setLineId}
        options={[
          ['', 'The recipes chosen above'],
          ...lines.map(({ id, body }) => [id, `All of ${body.name}`] as const),
        ]}
      />
      <div className="actions">
        <Button
          kind="quiet"
          isDisabled={busy}
          onPress={() =>
            save(
              lineId === ''
                ? { what: 'chart', ...sharing }
                : { what: 'chart', ...sharing, mixes: { all: true }, lineId },
              'colours.pdf',
            )
          }
        >
          Colour chart (PDF)
        </Button>
        <Button
          kind="quiet"
          isDisabled={busy}
          onPress={() => save({ what: 'short-names' }, 'short-names.pdf')}
        >
          Short names (PDF)
        </Button>
      </div>
      <div className="share-ask">
        <Field label="Pupils" inputMode="numeric" value={pupils} onChange={setPupils} />
        <Button
          kind="quiet"
          isDisabled={busy || !(Number(pupils) >= 1)}
          onPress={() =>
            save(
              { what: 'class-kit', ...sharing, pupils: Math.round(Number(pupils)) },
              'class-kit.pdf',
            )
          }
        >
          Class kit (PDF)
        </Button>
      </div>
      {busy ? <JobProgress what="Drawing" /> : null}
    </Part>
  );
}

function callFor(body: Parameters<typeof client.call<'printSheets'>>[1]['body']) {
  return client.call('printSheets', { body });
}
