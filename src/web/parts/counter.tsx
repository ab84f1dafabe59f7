import { Group } from 'react-aria-components';
import { Button } from './button.tsx';

/** A number with − and + beside it: any from `least` to `most`, or one of a few. */
export function Counter({
  label,
  value,
  onChange,
  least = 1,
  most = 99,
  choices,
}: {
  readonly label: string;
  readonly value: number;
  readonly onChange: (value: number) => void;
  readonly least?: number;
  readonly most?: number;
  /** Only these values. */
  readonly choices?: readonly number[];
}) {
  const below = choices?.findLast((one) => one < value) ?? (choices ? undefined : value - 1);
  const above = choices?.find((one) => one > value) ?? (choices ? undefined : value + 1);
  const low = choices?.[0] ?? least;
  const high = choices?.at(-1) ?? most;
  return (
    <Group className="field" aria-label={`${label}: ${value}`}>
      <span className="field-label" aria-hidden="true">
        {label}
      </span>
      <span className="counter">
        <Button
          aria-label={`Fewer: ${label}`}
          isDisabled={value <= low}
          onPress={() => onChange(below ?? low)}
        >
          −
        </Button>
        <b aria-live="polite">{value}</b>
        <Button
          aria-label={`More: ${label}`}
          isDisabled={value >= high}
          onPress={() => onChange(above ?? high)}
        >
          +
        </Button>
      </span>
    </Group>
  );
}
