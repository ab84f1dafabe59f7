/** A text with a capital at its beginning, as a sentence or a line of its own has it. */
export function sentenceStart(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
