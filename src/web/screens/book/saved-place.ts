/**
 * Where she was in a sheet, as long as this window lives: coming back from a mix, or loading the page
 * anew, begins there. Kept by question, the latest few.
 */
const KEY = 'kneadwell places';
const MOST = 50;

export function placeOf(question: string): number {
  return all().find(([asked]) => asked === question)?.[1] ?? 0;
}

export function savePlace(question: string, index: number): void {
  const others = all().filter(([asked]) => asked !== question);
  try {
    sessionStorage.setItem(KEY, JSON.stringify([[question, index], ...others].slice(0, MOST)));
  } catch {
    // A browser that keeps nothing begins at the top.
  }
}

function all(): readonly (readonly [string, number])[] {
  try {
    const kept: unknown = JSON.parse(sessionStorage.getItem(KEY) ?? '[]');
    if (!Array.isArray(kept)) return [];
    return kept.filter(
      (one): one is [string, number] =>
        Array.isArray(one) && typeof one[0] === 'string' && Number.isInteger(one[1]) && one[1] >= 0,
    );
  } catch {
    return [];
  }
}
