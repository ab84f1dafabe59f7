import { AimPicker } from '../../aims/aim-picker.tsx';
import type { RequestAim } from '../../find/find-request.ts';
import { Part } from '../../parts/field.tsx';

/** The wanted colour: asked for where there is none, else behind a line. */
export function WantedColour({
  aim,
  given,
  onAim,
}: {
  readonly aim: RequestAim | undefined;
  /** It came with the mix or the address. */
  readonly given: boolean;
  readonly onAim: (aim: RequestAim) => void;
}) {
  const picker = <AimPicker aim={aim} onAim={onAim} alone={aim === undefined} />;
  if (!given) return <Part title="Wanted colour">{picker}</Part>;
  return (
    <details>
      <summary>Want another colour</summary>
      {picker}
    </details>
  );
}
