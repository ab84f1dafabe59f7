import { type ReactNode, useEffect, useRef, useState } from 'react';
import { Button } from '../parts/button.tsx';

const STEPS = [1, 2, 3, 5] as const;

/** A photo that can be enlarged; enlarged, it is moved like any list, and `at` is brought into sight. */
export function Zoomed({
  widthPx,
  heightPx,
  at,
  children,
}: {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Where the user looks, in shares of the photo. */
  readonly at: { readonly x: number; readonly y: number } | undefined;
  readonly children: ReactNode;
}) {
  const [step, setStep] = useState(0);
  const frame = useRef<HTMLDivElement>(null);
  const zoom = STEPS[step];
  const [x, y] = [at?.x, at?.y];
  useEffect(() => {
    const { current } = frame;
    if (current === null || x === undefined || y === undefined || zoom === 1) return;
    current.scrollTo({
      left: x * current.scrollWidth - current.clientWidth / 2,
      top: y * current.scrollHeight - current.clientHeight / 2,
    });
  }, [x, y, zoom]);
  return (
    <div className="bench shot-bench" data-zoomed={zoom > 1 || undefined}>
      <div className="shot-frame" ref={frame}>
        <div
          className="shot"
          style={{
            aspectRatio: `${widthPx} / ${heightPx}`,
            width: `${100 * zoom}%`,
            maxWidth: `calc(var(--shot-height) * ${(zoom * widthPx) / heightPx})`,
          }}
        >
          {children}
        </div>
      </div>
      <div className="shot-zoom">
        <Button isDisabled={step === 0} onPress={() => setStep(step - 1)}>
          Smaller
        </Button>
        <Button isDisabled={step === STEPS.length - 1} onPress={() => setStep(step + 1)}>
          Larger
        </Button>
      </div>
    </div>
  );
}
