import { CLAY_CLASSES } from '../core/clay/clay-class.ts';
import { EFFECTS } from '../core/clay/effect-offset.ts';
import { clayKey } from '../core/notation/clay-name.ts';
import type { RecordOf } from './records/record.ts';

type Block = Pick<RecordOf<'block'>, 'id' | 'body'>;
type Lines = ReadonlyMap<string, Pick<RecordOf<'line'>, 'body'>>;

/** Words of a question that mean many clays at once, so no clay alone is called by one. */
const GROUP_WORDS: readonly string[] = [...CLAY_CLASSES, ...EFFECTS];

/**
 * What people call each block: its name; with its line where two blocks share a name; with its code or a
 * number where they share the line as well.
 * Holds:   no two alike by `clayKey`, none is the name of a line or a word for a type of clay; the
 *          order of the blocks does not matter
 */
export function clayNames(blocks: Iterable<Block>, lines: Lines): ReadonlyMap<string, string> {
  const sorted = [...blocks].sort((one, other) => (one.id < other.id ? -1 : 1));
  const taken = new Set(
    [...GROUP_WORDS, ...[...lines.values()].map(({ body }) => body.name)].map(clayKey),
  );
  const numbers = numbersOf(sorted);
  const withLine = (block: Block) => nameWithLine(block, lines);
  const ways: readonly ((block: Block) => string)[] = [
    ({ body }) => body.name,
    withLine,
    (block) => {
      const { code } = block.body;
      return code === undefined ? withLine(block) : `${withLine(block)} (code ${code})`;
    },
    (block) => `${withLine(block)} (number ${numbers.get(block.id)})`,
    (block) => `${withLine(block)} (${block.id})`,
  ];
  const names = new Map<string, string>();
  let left = sorted;
  for (const nameOf of ways) {
    const counts = countsOf(left.map(nameOf));
    const settled = left.filter((block) => {
      const key = clayKey(nameOf(block));
      return counts.get(key) === 1 && !taken.has(key);
    });
    for (const block of settled) {
      names.set(block.id, nameOf(block));
      taken.add(clayKey(nameOf(block)));
    }
    left = left.filter(({ id }) => !names.has(id));
  }
  return names;
}

/** A name with the line before it, unless the name says the line already. */
function nameWithLine({ body }: Block, lines: Lines): string {
  const line = lines.get(body.lineId)?.body.name;
  if (line === undefined || clayKey(body.name).startsWith(`${clayKey(line)} `)) return body.name;
  return `${line} ${body.name}`;
}

/** 1, 2, 3 among the blocks of one name and line. */
function numbersOf(blocks: readonly Block[]): ReadonlyMap<string, number> {
  const counts = new Map<string, number>();
  return new Map(
    blocks.map(({ id, body }) => {
      const key = blockKey(body);
      counts.set(key, (counts.get(key) ?? 0) + 1);
      return [id, counts.get(key)!];
    }),
  );
}

/** Two blocks of one key are called the same in one line, which the book refuses for new blocks. */
export function blockKey({ lineId, name }: Block['body']): string {
  return `${lineId} ${clayKey(name)}`;
}

function countsOf(names: readonly string[]): ReadonlyMap<string, number> {
  const counts = new Map<string, number>();
  for (const name of names.map(clayKey)) counts.set(name, (counts.get(name) ?? 0) + 1);
  return counts;
}
