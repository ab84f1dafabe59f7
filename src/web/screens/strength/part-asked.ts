/** The part that must hold, as last asked on this device. */
export interface PartAsked {
  readonly shape: string;
  /** At its end, mm, as typed. */
  readonly push: string;
  /** A bend test that bends as hard as the part must take, by its id; in place of the push. */
  readonly like?: string;
  /** Of 10. */
  readonly wanted: number;
}

export const FIRST_PART: PartAsked = { shape: 'petal 1.2 x 10 x 20 mm', push: '3', wanted: 9 };

export function isPartAsked(saved: unknown): saved is PartAsked {
  if (typeof saved !== 'object' || saved === null) return false;
  const { shape, push, like, wanted } = saved as Partial<Record<keyof PartAsked, unknown>>;
  return (
    typeof shape === 'string' &&
    typeof push === 'string' &&
    (like === undefined || typeof like === 'string') &&
    typeof wanted === 'number' &&
    wanted >= 5 &&
    wanted <= 9
  );
}

/** A number as typed; undefined where the text is none. */
export function numberIn(text: string): number | undefined {
  const value = Number(text.trim().replace(',', '.'));
  return text.trim() === '' || !Number.isFinite(value) ? undefined : value;
}
