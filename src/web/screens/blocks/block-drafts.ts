import type { Lab } from '../../../core/colour/triples.ts';
import type { BodyOf } from '../../../domain/records/record.ts';
import type { Patch } from '../../aims/picture-patch.tsx';
import { newId } from '../../book/change.ts';
import { SORTS } from '../block-types.ts';

/** A block that is being named; `picture` and `patch` where its colour was tapped. */
export interface Draft {
  readonly key: string;
  readonly name: string;
  readonly clayType: BodyOf<'block'>['clayType'];
  readonly lab: Lab;
  readonly picture?: Picture;
  readonly patch?: Patch;
}

/** A picture by what stays of it when the page is closed: it may be chosen again, and is known again. */
export interface Picture {
  readonly key: string;
  readonly name: string;
}

/** Blocks begun and not kept in the book yet; they stay on this device when the page is closed. */
export interface BlockDrafts {
  readonly state: 'raw' | 'baked';
  readonly line: string;
  readonly drafts: readonly Draft[];
}

export const NO_BLOCK_DRAFTS: BlockDrafts = { state: 'raw', line: '', drafts: [] };

export function pictureOf(file: File): Picture {
  return { key: `${file.name} ${file.size} ${file.lastModified}`, name: file.name };
}

/** With one block more; a tap on a place that was tapped before is a press too many, and adds none. */
export function withDraft(
  begun: BlockDrafts,
  lab: Lab,
  from?: { readonly picture: Picture; readonly patch: Patch },
): BlockDrafts {
  if (from !== undefined && begun.drafts.some((draft) => sameplace(draft, from))) return begun;
  const draft: Draft = { key: newId('draft'), name: '', clayType: 'opaque', lab, ...from };
  return { ...begun, drafts: [...begun.drafts, draft] };
}

function sameplace(
  draft: Draft,
  { picture, patch }: { readonly picture: Picture; readonly patch: Patch },
): boolean {
  if (draft.picture?.key !== picture.key || draft.patch === undefined) return false;
  const [one, other] = [draft.patch.region, patch.region];
  return (
    Math.abs(one.left - other.left) < other.width && Math.abs(one.top - other.top) < other.height
  );
}

/** What was kept on the device, if it is of this shape. */
export function hasBlockDrafts(kept: unknown): kept is BlockDrafts {
  if (typeof kept !== 'object' || kept === null) return false;
  const { state, line, drafts } = kept as Partial<BlockDrafts>;
  return (
    (state === 'raw' || state === 'baked') &&
    typeof line === 'string' &&
    Array.isArray(drafts) &&
    drafts.every(isDraft)
  );
}

function isDraft(kept: unknown): boolean {
  if (typeof kept !== 'object' || kept === null) return false;
  const { key, name, clayType, lab, picture, patch } = kept as Partial<Draft>;
  return (
    [key, name].every((word) => typeof word === 'string') &&
    SORTS.some(([own]) => own === clayType) &&
    isNumbers(lab, 3) &&
    (picture === undefined) === (patch === undefined) &&
    (picture === undefined ||
      (typeof picture.key === 'string' && typeof picture.name === 'string')) &&
    (patch === undefined ||
      (isNumbers(patch.lab, 3) &&
        isNumbers(
          ['left', 'top', 'width', 'height'].map(
            (side) => (patch.region as unknown as Record<string, unknown> | undefined)?.[side],
          ),
          4,
        )))
  );
}

function isNumbers(kept: unknown, count: number): boolean {
  return Array.isArray(kept) && kept.length === count && kept.every((v) => Number.isFinite(v));
}
