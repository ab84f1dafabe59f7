import { describe, expect, it } from 'vitest';
import { hasBlockDrafts, NO_BLOCK_DRAFTS, withDraft } from './block-drafts.ts';

const picture = { key: 'blocks.jpg 100 1', name: 'blocks.jpg' };
const at = (left: number) => ({
  picture,
  patch: {
    lab: [50, 0, 0] as const,
    region: { left, top: 0.4, width: 0.03, height: 0.04 },
  },
});

describe('blocks begun', () => {
  it('takes a place of a picture once, however often it is tapped', () => {
    const one = withDraft(NO_BLOCK_DRAFTS, [50, 0, 0], at(0.2));
    expect(withDraft(one, [50, 0, 0], at(0.2))).toBe(one);
    expect(withDraft(one, [51, 0, 0], at(0.21))).toBe(one);
    expect(withDraft(one, [50, 0, 0], at(0.24)).drafts.length).toBe(2);
    const other = { ...at(0.2), picture: { key: 'other.jpg 7 1', name: 'other.jpg' } };
    expect(withDraft(one, [50, 0, 0], other).drafts.length).toBe(2);
    // Two colours made by eye may be alike.
    expect(withDraft(withDraft(one, [9, 9, 9]), [9, 9, 9]).drafts.length).toBe(3);
  });

  it('come back as they were saved, and nothing else does', () => {
    const begun = withDraft(withDraft(NO_BLOCK_DRAFTS, [50, 0, 0], at(0.2)), [30, 1, 2]);
    const kept = JSON.parse(JSON.stringify(begun));
    expect(hasBlockDrafts(kept)).toBe(true);
    expect(kept).toEqual(begun);
    const [tapped, byEye] = kept.drafts;
    for (const bad of [
      null,
      [],
      { ...kept, state: 'boiled' },
      { ...kept, line: 3 },
      { ...kept, drafts: 'none' },
      { ...kept, drafts: [{ ...byEye, lab: [1, 2] }] },
      { ...kept, drafts: [{ ...byEye, clayType: 'gone' }] },
      { ...kept, drafts: [{ ...byEye, name: undefined }] },
      { ...kept, drafts: [{ ...tapped, picture: undefined }] },
      { ...kept, drafts: [{ ...tapped, patch: { lab: [1, 2, 3] } }] },
    ]) {
      expect(hasBlockDrafts(bad)).toBe(false);
    }
  });
});
