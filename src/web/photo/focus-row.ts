/** Puts the cursor into the field of a tile, so that the photo shows that tile. */
export function focusRow(name: string): void {
  const row = document.querySelector<HTMLElement>(`[data-row="${CSS.escape(name)}"]`);
  row?.querySelector<HTMLElement>('input')?.focus({ preventScroll: true });
  row?.scrollIntoView({ block: 'nearest' });
}
