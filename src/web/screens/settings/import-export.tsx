import { useState } from 'react';
import { FileTrigger } from 'react-aria-components';
import type { JobCall } from '../../../api/job-routes.ts';
import { urlOf } from '../../../client/api-client.ts';
import type { ImportKind } from '../../../domain/import-kinds.ts';
import { textFromBytes } from '../../../domain/text-file.ts';
import { wordsOf } from '../../book/change.ts';
import { client } from '../../book/client.ts';
import { useJob } from '../../book/job.ts';
import { showNotice } from '../../book/notice.ts';
import { Button } from '../../parts/button.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { Field, Part, Pick } from '../../parts/field.tsx';
import { JobLine } from '../../parts/job-line.tsx';
import { Tick } from '../../parts/tick.tsx';
import { count } from '../count.ts';

const TABLES = [
  ['mix', 'Mixes'],
  ['block', 'Blocks'],
  ['reading', 'Readings'],
  ['tile', 'Tiles'],
  ['purchase', 'Purchases'],
] as const;
/** The limit of the job; larger files need the command line. */
const MOST_TEXT = 8 * 2 ** 20;

/** Exports records as files, and imports readings, recipes and exports. */
export function ImportExport() {
  const [file, setFile] = useState<{ name: string; text: string } | undefined>();
  const [no, setNo] = useState<string | undefined>();
  const choose = async (chosen: File | undefined) => {
    setNo(undefined);
    if (chosen === undefined) return;
    if (chosen.size > MOST_TEXT) {
      return setNo('That file is larger than 8 MB. Import it with "kneadwell import".');
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
  const chooseCard = async (photo: File | undefined) => {
    setNo(undefined);
    if (photo === undefined) return;
    try {
      const { title, text } = (await client.call('readCard', { body: photo })).body;
      setFile({ name: title.slice(0, 200), text });
    } catch (error) {
      setNo(wordsOf(error));
    }
  };
  return (
    <Part title="Import and export">
      <p>
        Download your data as files other programs can read. Photos and the clay model are in the
        backup.
      </p>
      <div className="actions">
        <a className="button" data-kind="plain" download href={urlOf('', 'exportBook', {})}>
          All records (JSON)
        </a>
        {TABLES.map(([kind, words]) => (
          <a
            key={kind}
            className="button"
            data-kind="quiet"
            download
            href={urlOf('', 'exportBook', { query: { as: 'csv', kind } })}
          >
            {words} (CSV)
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
        <FileTrigger
          acceptedFileTypes={['image/jpeg', 'image/png', 'image/webp']}
          onSelect={(files) => void chooseCard(files?.[0])}
        >
          <Button kind="quiet">Take in a recipe card</Button>
        </FileTrigger>
        <span className="soft small">
          Readings (CSV, CGATS), recipes in your shorthand, recipes that somebody shared, an export,
          or a photo of a card's QR code. You see a preview first.
        </span>
      </div>
      {no === undefined ? null : <p className="field-no">{no}</p>}
      {file === undefined ? null : <ImportDialog file={file} onClose={() => setFile(undefined)} />}
    </Part>
  );
}

function ImportDialog({
  file,
  onClose,
}: {
  readonly file: { readonly name: string; readonly text: string };
  readonly onClose: () => void;
}) {
  const [picked, setPicked] = useState<ImportKind | undefined>();
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
    text: file.text,
    ...(check ? { check } : {}),
    ...(line.trim() === '' ? {} : { newLine: line.trim() }),
    ...(replace ? { replace } : {}),
  });
  const seen = look.job?.state === 'done' ? look.job : undefined;
  const seenAs = seen?.call.do === 'import' ? seen.call.as : undefined;
  const fits = seen !== undefined && seenAs === picked;
  const as = picked ?? (fits ? seen.result?.as : undefined);
  const otherwise = Number(seen?.result?.otherwise ?? 0);
  return (
    <Dialog title={`Import ${file.name}`} isOpen onClose={onClose}>
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
      {as === 'readings' ? (
        <Field
          label="Clay line for new clays"
          value={line}
          onChange={setLine}
          placeholder="My clays"
        />
      ) : null}
      {fits ? <p role="status">{resultInWords(seen.result ?? {})}</p> : null}
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

function sharedInWords({
  title,
  author,
  licence,
  mixes,
  sameClays,
  newClays,
  curves,
}: Readonly<Record<string, unknown>>): string {
  const [same, fresh] = [sameClays, newClays].map((list) => (Array.isArray(list) ? list : []));
  const own = same.length === 0 ? '' : ` You know ${count(same.length, 'clay')} of them.`;
  const others = fresh.length === 0 ? '' : ` ${count(fresh.length, 'clay')} that you do not own.`;
  const clays = CURVES_TAKEN.includes(curves as CurvesTaken)
    ? curvesInWords(curves as CurvesTaken)
    : '';
  const mixesSaid = count(Number(mixes ?? 0), 'recipe');
  if (typeof author !== 'string')
    return `${mixesSaid}, marked as the author's.${own}${others} ${clays}`;
  const says = (licence as { readonly says?: string } | undefined)?.says ?? '';
  return `${String(title)} by ${author}: ${mixesSaid}.${own}${others} ${clays} ${says}`;
}
