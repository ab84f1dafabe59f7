import type { BendResult } from '../../../core/strength/bend-results.ts';

export const RESULT_WORDS: Readonly<Record<BendResult, string>> = {
  'no mark': 'No mark',
  fades: 'Fades',
  stays: 'Stays',
  crack: 'Crack',
  break: 'Break',
};

const ARCH = 'M12 44 A28 28 0 0 1 68 44 L60 44 A20 20 0 0 0 20 44 Z';
const HALVES =
  'M8 44 A26 26 0 0 1 36 18 L36 26 A18 18 0 0 0 16 44 Z M46 26 A26 26 0 0 1 72 50 L64 50 A18 18 0 0 0 46 34 Z';
const WHITENED = 'M33 17 A28 28 0 0 1 47 17 L45 25 A20 20 0 0 0 35 25 Z';
const CRACK = 'M41 12 L36 19 L44 22 L38 30';

/** A strip as it came out; without a result, as it lies there still straight. */
export function Bent({ result }: { readonly result: BendResult | undefined }) {
  return (
    <svg className="bent" viewBox="0 0 80 56" aria-hidden="true" data-result={result ?? 'to do'}>
      {result === undefined ? (
        <path className="bent-todo" d="M12 26 H68 V34 H12 Z" />
      ) : (
        <path className="bent-clay" d={result === 'break' ? HALVES : ARCH} />
      )}
      {result === 'fades' || result === 'stays' ? (
        <path className="bent-white" d={WHITENED} data-stays={result === 'stays'} />
      ) : null}
      {result === 'crack' ? <path className="bent-crack" d={CRACK} /> : null}
    </svg>
  );
}

const PETAL = 'M12 2 C22 14 22 34 12 46 C2 34 2 14 12 2 Z';
const BROKEN =
  'M12 2 C19 10 21 18 19 22 L6 17 C7 12 9 6 12 2 Z M4 24 L18 29 C17 36 15 42 12 46 C7 40 4 32 4 24 Z';

/** A chance as ten petals: those that break are broken. */
export function TenPetals({ chance }: { readonly chance: number }) {
  // Ten whole petals would promise more than a chance that is only close to sure.
  const held = chance >= 0.995 ? 10 : Math.min(9, Math.round(10 * chance));
  return (
    <div className="petals bench" role="img" aria-label={`${held} of 10 hold`}>
      {Array.from({ length: 10 }, (_, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: ten places that never change their order
        <svg key={i} viewBox="0 0 24 48" aria-hidden="true">
          <path className="bent-clay" d={i < held ? PETAL : BROKEN} />
        </svg>
      ))}
    </div>
  );
}
