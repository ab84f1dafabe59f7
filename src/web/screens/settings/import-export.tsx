import { useState } from 'react';
import { FileTrigger } from 'react-aria-components';
import { urlOf } from '../../../client/api-client.ts';
import { textFromBytes } from '../../../domain/text-file.ts';
import { wordsOf } from '../../book/change.ts';
import { client } from '../../book/client.ts';
import { Button } from '../../parts/button.tsx';
import { Part } from '../../parts/field.tsx';
import { ImportDialog } from './import-dialog.tsx';

const TABLES = [
  ['mix', 'Mixes'],
  ['block', 'Blocks'],
  ['reading', 'Readings'],
  ['tile', 'Tiles'],
  ['purchase', 'Purchases'],
] as const;
/** What pasted recipes are called. */
const PASTED = 'Pasted recipes';
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
          <Button kind="quiet">Import a recipe card</Button>
        </FileTrigger>
        <Button kind="quiet" onPress={() => setFile({ name: PASTED, text: '' })}>
          Paste recipes
        </Button>
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
