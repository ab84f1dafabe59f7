import { useState } from 'react';
import type { JobCall } from '../../../api/job-routes.ts';
import type { ImportKind } from '../../../domain/import-kinds.ts';
import { useJob } from '../../book/job.ts';
import { showNotice } from '../../book/notice.ts';
import { Button } from '../../parts/button.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { Field, Pick } from '../../parts/field.tsx';
import { JobLine } from '../../parts/job-line.tsx';
import { Tick } from '../../parts/tick.tsx';
import { count } from '../count.ts';
import { SharedMixTiles, sharedInWords } from './shared-mixes.tsx';

/** A file to be taken in: shown first, and imported on a press. Without a text, the user writes or pastes recipes. */
export function ImportDialog({
  file,
  onClose,
}: {
  readonly file: { readonly name: string; readonly text: string };
  readonly onClose: () => void;
}) {
  const pasted = file.text === '';
  const [picked, setPicked] = useState<ImportKind | undefined>(pasted ? 'published' : undefined);
  const [written, setWritten] = useState('');
  const [shown, setShown] = useState('');
  const text = pasted ? written : file.text;
  const [line, setLine] = useState('');
  const [replace, setReplace] = useState(false);
  const look = useJob();
  const take = useJob((job) => {
    const { seq } = job.result ?? {};
    showNotice({
      text: `Imported ${file.name}: ${resultInWords(job.result ?? {})}`,
      ...(typeof seq === 'number' ? { undo: seq } : {}),
    });
    onClose();
  });
  const call = (check: boolean): JobCall => ({
    do: 'import',
    ...(picked === undefined ? {} : { as: picked }),
    fileName: file.name,
    text,
    ...(check ? { check } : {}),
    ...(line.trim() === '' ? {} : { newLine: line.trim() }),
    ...(replace ? { replace } : {}),
  });
  const seen = look.job?.state === 'done' ? look.job : undefined;
  const seenAs = seen?.call.do === 'import' ? seen.call.as : undefined;
  const fits = seen !== undefined && seenAs === picked && shown === text;
  const as = picked ?? (fits ? seen.result?.as : undefined);
  const otherwise = Number(seen?.result?.otherwise ?? 0);
  return (
    <Dialog title={pasted ? 'Paste recipes' : `Import ${file.name}`} isOpen onClose={onClose}>
      {pasted ? (
        <Field
          label="Recipes"
          rows={6}
          value={written}
          onChange={setWritten}
          placeholder="Sea glass: 2 parts of a warm yellow, 1 part white"
          help="One recipe in a line, with its name before a colon if it has one."
        />
      ) : null}
      {pasted ? null : (
        <Pick<ImportKind | ''>
          label="Content of the file"
          value={picked ?? ''}
          onChange={(kind) => setPicked(kind === '' ? undefined : kind)}
          options={[
            ['', 'found from the file'],
            ['readings', 'readings of tiles'],
            ['shorthand', 'recipes in my shorthand, one per line'],
            ['export', 'an export of a mix book'],
            ['share', 'recipes that somebody shared'],
            ['published', 'recipes in plain words, one per line'],
          ]}
        />
      )}
      {as === 'readings' ? (
        <Field
          label="Clay line for new clays"
          value={line}
          onChange={setLine}
          placeholder="My clays"
        />
      ) : null}
      {fits ? <p role="status">{resultInWords(seen.result ?? {})}</p> : null}
      {fits ? <SharedMixTiles result={seen.result ?? {}} /> : null}
      {as === 'export' && fits && otherwise > 0 ? (
        <Tick isSelected={replace} onChange={setReplace}>
          Replace my records that differ ({count(otherwise, 'record')})
        </Tick>
      ) : null}
      <JobLine here={look} what="Reading the file" />
      <JobLine here={take} what="Importing" />
      <div className="actions">
        {fits ? (
          <Button kind="main" isDisabled={take.running} onPress={() => take.start(call(false))}>
            Import
          </Button>
        ) : (
          <Button
            kind="main"
            isDisabled={look.running || text.trim() === ''}
            onPress={() => {
              setShown(text);
              look.start(call(true));
            }}
          >
            Preview
          </Button>
        )}
        <Button kind="quiet" onPress={onClose}>
          Cancel
        </Button>
      </div>
    </Dialog>
  );
}

function resultInWords(result: Readonly<Record<string, unknown>>): string {
  const { as } = result;
  const n = (key: string) => Number(result[key] ?? 0);
  if (as === 'readings') {
    return result.tiles === undefined
      ? `${count(n('readings'), 'reading')} can be imported.`
      : `${count(n('readings'), 'reading')} of ${count(n('tiles'), 'tile')}; ${n('same')} already there.`;
  }
  if (as === 'share' || as === 'published') return sharedInWords(result);
  if (as === 'shorthand') return `${count(n('mixes'), 'recipe')} can be imported.`;
  if (result.otherwise !== undefined) {
    return `${count(n('records'), 'record')}: ${n('fresh')} new, ${n('same')} already there, ${n('otherwise')} different in your book.`;
  }
  return `${n('fresh')} new, ${n('replaced')} replaced, ${n('same')} already there.`;
}
