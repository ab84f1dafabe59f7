/** How evenly pieces are cut, as a share of each, where nothing else is known; docs/formats.md. */
export const PARTS_SPREAD = { ofMix: 0.03, ofClay: 0 } as const;
