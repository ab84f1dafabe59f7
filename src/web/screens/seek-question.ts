import type { RecordOf } from '../../contract/book/record.ts';
import type { Lab } from '../../core/colour/triples.ts';
import type { SeekRules } from '../../core/recipe/seek-rules.ts';
import type { OpenClays } from '../book/clays.ts';
import type { SeekAsk } from '../workers/messages.ts';

/** What is asked of Seek, as it is kept on this device. */
export interface SeekQuestion {
  readonly aim?: { readonly lab: Lab; readonly words: string };
  readonly tolerance: number;
  readonly mostParents: number;
  readonly parts: number;
  /** Blocks not to be used. */
  readonly without: readonly string[];
  /** A line that must have a share, for strength. */
  readonly least?: { readonly lineId: string; readonly share: number };
  /** Most of translucent and pearl clays together. */
  readonly mostGlassy?: number;
  readonly mostLines?: number;
}

export const FIRST_QUESTION: SeekQuestion = {
  tolerance: 1.8,
  mostParents: 3,
  parts: 12,
  without: [],
};

export function isQuestion(kept: unknown): kept is SeekQuestion {
  if (typeof kept !== 'object' || kept === null) return false;
  const { tolerance, mostParents, parts, without } = kept as Partial<SeekQuestion>;
  return [tolerance, mostParents, parts].every(Number.isFinite) && Array.isArray(without);
}

const GLASSY = ['translucent', 'pearl', 'metallic', 'glitter'];
const TOP = 12;

/** The question in the numbers of the open clays; undefined while there is no aim or no clay. */
export function askOf(
  question: SeekQuestion,
  clays: OpenClays,
  blocks: ReadonlyMap<string, RecordOf<'block'>>,
): SeekAsk | undefined {
  const { aim, tolerance, mostParents, parts, without, least, mostGlassy, mostLines } = question;
  if (aim === undefined) return undefined;
  const used = clays.blocks.filter(({ blockId }) => !without.includes(blockId));
  if (used.length === 0) return undefined;
  const where = (test: (block: RecordOf<'block'>) => boolean) =>
    used.flatMap(({ blockId, parent }) => {
      const block = blocks.get(blockId);
      return block !== undefined && test(block) ? [parent] : [];
    });
  const lines: string[] = [];
  for (const { blockId, parent } of clays.blocks) {
    lines[parent] = blocks.get(blockId)?.body.lineId ?? '';
  }
  const rules: SeekRules = {
    ...(least === undefined
      ? {}
      : {
          least: [
            { parents: where(({ body }) => body.lineId === least.lineId), share: least.share },
          ],
        }),
    ...(mostGlassy === undefined
      ? {}
      : {
          most: [{ parents: where(({ body }) => GLASSY.includes(body.sort)), share: mostGlassy }],
        }),
    ...(mostLines === undefined ? {} : { lines: { of: lines, most: mostLines } }),
  };
  return {
    aim: aim.lab,
    tolerance,
    parents: used.map(({ parent }) => parent),
    mostParents,
    parts,
    top: TOP,
    ...(Object.keys(rules).length === 0 ? {} : { rules }),
  };
}
