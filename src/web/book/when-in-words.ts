/** Day and time, one way on all screens: "12 Mar 2026, 14:05". */
export function whenInWords(at: string): string {
  return new Date(at).toLocaleString('en-GB', { dateStyle: 'medium', timeStyle: 'short' });
}

/** A day without its time: "12 Mar 2026". */
export function dayInWords(day: string): string {
  return new Date(day).toLocaleDateString('en-GB', { dateStyle: 'medium', timeZone: 'UTC' });
}
