/**
 * The place the user saw last in each list, while the window is open, so that coming back from a mix or
 * reloading starts there. The latest few questions.
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
    // Without storage the list starts at the top.
  }
}

function all(): readonly (readonly [string, number])[] {
  try {
    const saved: unknown = JSON.parse(sessionStorage.getItem(KEY) ?? '[]');
    if (!Array.isArray(saved)) return [];
    return saved.filter(
      (one): one is [string, number] =>
        Array.isArray(one) && typeof one[0] === 'string' && Number.isInteger(one[1]) && one[1] >= 0,
    );
  } catch {
    return [];
  }
}
