import { useEffect, useState } from 'react';

/**
 * State saved on this device, so that a half-typed question is there again tomorrow.
 * Returns: as `useState`; a saved value is used only if `fits` accepts it
 */
export function useLocalStorage<T>(
  key: string,
  first: T,
  fits: (saved: unknown) => saved is T,
): [T, (next: T) => void] {
  const [value, setValue] = useState<T>(() => {
    try {
      const saved: unknown = JSON.parse(localStorage.getItem(`kneadwell ${key}`) ?? 'null');
      return fits(saved) ? saved : first;
    } catch {
      return first;
    }
  });
  useEffect(() => {
    try {
      localStorage.setItem(`kneadwell ${key}`, JSON.stringify(value));
    } catch {
      // Without storage the page works all the same.
    }
  }, [key, value]);
  return [value, setValue];
}
