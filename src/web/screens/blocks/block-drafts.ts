import type { Lab } from '../../../core/colour/triples.ts';
import type { BodyOf } from '../../../domain/records/record.ts';
import type { Patch } from '../../aims/picture-patch.tsx';
import { newId } from '../../book/change.ts';
import { CLAY_TYPES } from '../block-types.ts';

/** A block that is being named; `picture` and `patch` where its colour was tapped. */
export interface Draft {
  readonly key: string;
  readonly name: string;
  readonly clayType: BodyOf<'block'>['clayType'];
  readonly lab: Lab;
  readonly picture?: ChosenPhoto;
  readonly patch?: Patch;
}

/** A photo by name, size and date, so that it is recognised when chosen again. */
export interface ChosenPhoto {
  readonly key: string;
  readonly name: string;
}

/** Blocks not saved in the book yet; they stay on this device when the page is closed. */
export interface BlockDrafts {
  readonly state: 'raw' | 'baked';
  readonly line: string;
  readonly drafts: readonly Draft[];
}

export const NO_BLOCK_DRAFTS: BlockDrafts = { state: 'raw', line: '', drafts: [] };

export function pictureOf(file: File): ChosenPhoto {
  return { key: `${file.name} ${file.size} ${file.lastModified}`, name: file.name };
}

/** Adds a block; a second tap on the same place adds none. */
export function withDraft(
  begun: BlockDrafts,
  lab: Lab,
  from?: { readonly picture: ChosenPhoto; readonly patch: Patch },
): BlockDrafts {
  if (from !== undefined && begun.drafts.some((draft) => sameplace(draft, from))) return begun;
  const draft: Draft = { key: newId('draft'), name: '', clayType: 'opaque', lab, ...from };
  return { ...begun, drafts: [...begun.drafts, draft] };
}

function sameplace(
  draft: Draft,
  { picture, patch }: { readonly picture: ChosenPhoto; readonly patch: Patch },
): boolean {
  if (draft.picture?.key !== picture.key || draft.patch === undefined) return false;
  const [one, other] = [draft.patch.region, patch.region];
  return (
    Math.abs(one.left - other.left) < other.width && Math.abs(one.top - other.top) < other.height
  );
}

/** Whether a value saved on the device has this shape. */
export function hasBlockDrafts(saved: unknown): saved is BlockDrafts {
  if (typeof saved !== 'object' || saved === null) return false;
  const { state, line, drafts } = saved as Partial<BlockDrafts>;
  return (
    (state === 'raw' || state === 'baked') &&
    typeof line === 'string' &&
    Array.isArray(drafts) &&
    drafts.every(isDraft)
  );
}

function isDraft(saved: unknown): boolean {
  if (typeof saved !== 'object' || saved === null) return false;
  const { key, name, clayType, lab, picture, patch } = saved as Partial<Draft>;
  return (
    [key, name].every((word) => typeof word === 'string') &&
    CLAY_TYPES.some(([own]) => own === clayType) &&
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

function isNumbers(value: unknown, count: number): boolean {
  return Array.isArray(value) && value.length === count && value.every((v) => Number.isFinite(v));
}
