/** A field that does not fit, by its name: a pointer into what was sent (RFC 6901) says nothing to the user. */
export function fieldToCheck(field: string, detail: string): string {
  const words = field.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
  return `Please check “${words}”: ${detail}.`;
}
