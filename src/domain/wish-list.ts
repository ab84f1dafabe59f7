import { hexFromLab } from '../core/colour/display.ts';
import type { Lab } from '../core/colour/triples.ts';
import { csvLine, harmless } from './csv-writer.ts';
import type { RecordOf } from './records/record.ts';

/** A wish with all that it says in words. */
export interface WishInWords {
  readonly id: string;
  readonly name: string;
  /** D50, 2 degrees. */
  readonly lab: Lab;
  /** The block to buy, or the line it is for; may be empty. */
  readonly where: string;
  readonly why: string;
}

/** Wishes with the names of their lines and blocks. */
export function wishesInWords(
  wishes: readonly Pick<RecordOf<'wish'>, 'id' | 'body'>[],
  lines: readonly Pick<RecordOf<'line'>, 'id' | 'body'>[],
  blocks: readonly Pick<RecordOf<'block'>, 'id' | 'body'>[],
): readonly WishInWords[] {
  const lineOf = new Map(lines.map(({ id, body }) => [id, body.name]));
  const blockOf = new Map(blocks.map(({ id, body }) => [id, body]));
  return wishes.map(({ id, body: { name, lab, why = '', lineId, blockId } }) => {
    const block = blockOf.get(blockId ?? '');
    const line = lineOf.get(lineId ?? '');
    const toBuy =
      block === undefined
        ? ''
        : `${block.name}${lineOf.has(block.lineId) ? `, ${lineOf.get(block.lineId)}` : ''}`;
    const widens = line === undefined ? '' : `for ${line}`;
    return { id, name, lab, where: [toBuy, widens].filter((said) => said !== '').join(', '), why };
  });
}

/** The wish list to send as plain text: one colour a line, with its screen colour. */
export function wishText(wishes: readonly WishInWords[]): string {
  return wishes
    .map(({ name, lab, where, why }) => {
      const more = [where, why].filter((said) => said !== '').join('; ');
      return `- ${name} (${hexFromLab(lab)})${more === '' ? '' : `: ${more}`}\n`;
    })
    .join('');
}

/** The wish list as JSON; L, a and b are for D50 and 2 degrees. */
export function wishJson(wishes: readonly WishInWords[]): string {
  const rows = wishes.map(({ name, lab, where, why }) => ({
    name,
    lab,
    screen: hexFromLab(lab),
    ...(where === '' ? {} : { where }),
    ...(why === '' ? {} : { why }),
  }));
  return `${JSON.stringify({ wishes: rows }, null, 2)}\n`;
}

/** The wish list as a table; L, a and b are for D50 and 2 degrees. */
export function wishCsv(wishes: readonly WishInWords[]): string {
  const rows = wishes.map(({ name, lab, where, why }) => [
    harmless(name),
    ...lab.map((value) => value.toFixed(2)),
    hexFromLab(lab),
    harmless(where),
    harmless(why),
  ]);
  return [['name', 'L', 'a', 'b', 'screen', 'where', 'why'], ...rows]
    .map((row) => csvLine(row))
    .join('');
}
