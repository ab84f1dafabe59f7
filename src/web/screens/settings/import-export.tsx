import { useState } from 'react';
import { FileTrigger } from 'react-aria-components';
import type { Job, JobCall } from '../../../api/job-routes.ts';
import { urlOf } from '../../../client/api-client.ts';
import { textFromBytes } from '../../../domain/text-file.ts';
import { wordsOf } from '../../book/change.ts';
import { useJob } from '../../book/job.ts';
import { showNotice } from '../../book/notice.ts';
import { Button } from '../../parts/button.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { Field, Part, Pick } from '../../parts/field.tsx';
import { JobLine } from '../../parts/job-line.tsx';
import { Tick } from '../../parts/tick.tsx';
import { count } from '../start.tsx';

type As = Extract<JobCall, { do: 'import' }>['as'];

const TABLES = [
  ['mix', 'Mixes'],
  ['block', 'Blocks'],
  ['reading', 'Readings'],
  ['tile', 'Tiles'],
  ['purchase', 'Purchases'],
] as const;
/** As the job takes it; beyond that, the command line. */
const MOST_TEXT = 8 * 2 ** 20;

/** Her records as files for other programs, and files of readings, old pages and exports into the book. */
export function OutAndIn() {
  const [file, setFile] = useState<{ name: string; text: string } | undefined>();
  const [no, setNo] = useState<string | undefined>();
  const choose = async (chosen: File | undefined) => {
    setNo(undefined);
    if (chosen === undefined) return;
    if (chosen.size > MOST_TEXT) {
      return setNo('That file is larger than 8 MB. Import with "kneadwell import".');
    }
    try {
      const bytes = new Uint8Array(await chosen.arrayBuffer());
      setFile({
        name: chosen.name.slice(0, 200),
        text: textFromBytes(bytes, chosen.name, MOST_TEXT),
      });
    } catch (error) {
      setNo(wordsOf(error));
    }
  };
  return (
    <Part title="Out and in">
      <p>
        Everything you wrote belongs to you: take it out as files any program reads. Photos and what
        was learned travel in a backup.
      </p>
      <div className="actions">
        <a className="button" data-kind="plain" download href={urlOf('', 'exportBook', {})}>
          All records, JSON
        </a>
        {TABLES.map(([kind, words]) => (
          <a
            key={kind}
            className="button"
            data-kind="quiet"
            download
            href={urlOf('', 'exportBook', { query: { as: 'csv', kind } })}
          >
            {words}, table
          </a>
        ))}
      </div>
      <div className="actions">
        <FileTrigger
          acceptedFileTypes={['.csv', '.txt', '.json', '.cgats', '.ti3', 'text/*']}
          onSelect={(files) => void choose(files?.[0])}
        >
          <Button>Import a file</Button>
        </FileTrigger>
        <span className="soft small">
          Readings (CSV, CGATS), a page of recipes in your own shortNames, or an export. It is
          looked at first.
        </span>
      </div>
      {no === undefined ? null : <p className="field-no">{no}</p>}
      {file === undefined ? null : <TakeIn file={file} onClose={() => setFile(undefined)} />}
    </Part>
  );
}

function TakeIn({
  file,
  onClose,
}: {
  readonly file: { readonly name: string; readonly text: string };
  readonly onClose: () => void;
}) {
  const [as, setAs] = useState<As>(() => guess(file));
  const [line, setLine] = useState('');
  const [replace, setReplace] = useState(false);
  const look = useJob();
  const take = useJob((job) => {
    const { seq } = job.result ?? {};
    showNotice({
      text: `Imported in from ${file.name}: ${told(as, job.result ?? {})}`,
      ...(typeof seq === 'number' ? { undo: seq } : {}),
    });
    onClose();
  });
  const call = (check: boolean): JobCall => ({
    do: 'import',
    as,
    fileName: file.name,
    text: file.text,
    ...(check ? { check } : {}),
    ...(line.trim() === '' ? {} : { newLine: line.trim() }),
    ...(replace ? { replace } : {}),
  });
  const seen = look.job?.state === 'done' ? look.job : undefined;
  const seenAs = seen?.call.do === 'import' ? seen.call.as : undefined;
  const fits = seenAs === as;
  const otherwise = Number(seen?.result?.otherwise ?? 0);
  return (
    <Dialog title={`Take in ${file.name}`} isOpen onClose={onClose}>
      <Pick<As>
        label="What it is"
        value={as}
        onChange={setAs}
        options={[
          ['readings', 'readings of tiles'],
          ['shorthand', 'recipes in my shortNames, one a line'],
          ['export', 'an export of a mix book'],
        ]}
      />
      {as === 'readings' ? (
        <Field
          label="Line for clays the book does not know"
          value={line}
          onChange={setLine}
          placeholder="My clays"
        />
      ) : null}
      {seen !== undefined && fits ? (
        <p role="status">
          {told(as, seen.result ?? {})}
          {faultsOf(seen).length === 0 ? '' : ` Not understood: ${faultsOf(seen).join('; ')}.`}
        </p>
      ) : null}
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
          <Button kind="main" isDisabled={look.running} onPress={() => look.start(call(true))}>
            Preview
          </Button>
        )}
        <Button kind="quiet" onPress={onClose}>
          Leave it
        </Button>
      </div>
    </Dialog>
  );
}

/** What most likely is in a file, by its own words; she may say otherwise. */
function guess({ name, text }: { readonly name: string; readonly text: string }): As {
  if (/^\s*\{/.test(text)) return 'export';
  if (/\.(?:cgats|ti3)$/i.test(name) || /^\s*(?:CGATS|BEGIN_DATA|NUMBER_OF)/m.test(text)) {
    return 'readings';
  }
  const [head = ''] = text.split('\n').filter((row) => !row.startsWith('#') && row.trim() !== '');
  return /(?:^|[,;\t])\s*"?(?:L\*?|lab_l|tile|spectral|nm)/i.test(head) ? 'readings' : 'shorthand';
}

function told(as: As, result: Readonly<Record<string, unknown>>): string {
  const n = (key: string) => Number(result[key] ?? 0);
  if (as === 'readings') {
    return result.tiles === undefined
      ? `${count(n('readings'), 'reading')} can be read in it.`
      : `${count(n('readings'), 'reading')} of ${count(n('tiles'), 'tile')}; ${n('same')} were known already.`;
  }
  if (as === 'shorthand') return `${count(n('mixes'), 'recipe')} can be read in it.`;
  if (result.otherwise !== undefined) {
    return `${count(n('records'), 'record')}: ${n('fresh')} new, ${n('same')} known already, ${n('otherwise')} said otherwise in your book.`;
  }
  return `${n('fresh')} new, ${n('replaced')} replaced, ${n('same')} known already.`;
}

/** Lines of a page of shorthand that could not be read; at most three are told. */
function faultsOf({ result }: Job): readonly string[] {
  const lines = result?.lines;
  if (!Array.isArray(lines)) return [];
  return lines
    .filter((line: { kind?: string }) => line.kind === 'errors')
    .slice(0, 3)
    .map((line: { raw?: string }) => `“${line.raw ?? ''}”`);
}
