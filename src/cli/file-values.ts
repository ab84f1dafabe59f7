import { boardFrom, chartFrom, controlsFrom, pairsFrom, tilesFrom } from '../verbs/read-files.ts';
import type { FileKind } from '../verbs/verb.ts';
import type { Ports } from './ports.ts';

type FilePorts = Pick<Ports, 'files' | 'readers'>;

/** What a file holds, as a value of a question. Refuses: as reading a file and its reader do */
export async function fileValue(
  holds: FileKind,
  path: string,
  { files, readers }: FilePorts,
): Promise<unknown> {
  const bytes = await files.read(path);
  switch (holds) {
    case 'recipes':
      return readers.recipes(bytes, path).recipes.map(({ of, written, basis, place, column }) => ({
        recipe: of,
        words: written,
        where: `${place.file}, line ${place.line}, column ${column} (of): `,
        ...(basis === undefined ? {} : { basis }),
      }));
    case 'stock':
      return readers.stock(bytes, path);
    case 'trials':
      return readers.verdicts(bytes, path).map(({ balls, verdict, place }) => ({
        balls,
        where: `${place.file}, line ${place.line}: `,
        ...(verdict === undefined ? {} : { verdict }),
      }));
    case 'earlier':
      return controlsFrom(readers.readings(bytes, path, 'volume').readings);
    case 'pairs':
      return pairsFrom(readers.readings(bytes, path, 'volume').readings);
    case 'tiles':
      return tilesFrom(readers.readings(bytes, path, 'volume').readings);
  }
}

/** A sheet by its name, or the board that a file describes. */
export async function sheetValue(
  named: string,
  names: readonly string[],
  { files }: FilePorts,
): Promise<unknown> {
  const sheet = names.find((name) => name.toLowerCase() === named.trim().toLowerCase());
  if (sheet !== undefined) return sheet;
  return { board: boardFrom(new TextDecoder().decode(await files.read(named)), named) };
}

/** A chart by its edition, or the colours that a file of readings gives. */
export async function chartValue(
  named: string,
  editions: readonly string[],
  { files, readers }: FilePorts,
): Promise<unknown> {
  const plain = named.trim().toLowerCase().replace(/\s+/g, ' ');
  const edition = editions.find((one) => one === plain);
  if (edition !== undefined) return edition;
  const { readings } = readers.readings(await files.read(named), named, 'volume');
  return { labs: chartFrom(readings, named) };
}
