import { useEffect, useState } from 'react';

/**
 * State that outlives the page on this device: a question half asked is there again tomorrow.
 * Returns: as `useState`; what was kept is taken only if `fits` says it is of this shape
 */
export function useLocalStorage<T>(
  key: string,
  first: T,
  fits: (kept: unknown) => kept is T,
): [T, (next: T) => void] {
  const [value, setValue] = useState<T>(() => {
    try {
      const kept: unknown = JSON.parse(localStorage.getItem(`kneadwell ${key}`) ?? 'null');
      return fits(kept) ? kept : first;
    } catch {
      return first;
    }
  });
  useEffect(() => {
    try {
      localStorage.setItem(`kneadwell ${key}`, JSON.stringify(value));
    } catch {
      // A browser that keeps nothing works all the same.
    }
  }, [key, value]);
  return [value, setValue];
}
