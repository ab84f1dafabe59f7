import { ToggleButton, ToggleButtonGroup } from 'react-aria-components';

/** One of a few, all of them in sight. */
export function Choice<T extends string>({
  label,
  value,
  onChange,
  options,
}: {
  readonly label: string;
  readonly value: T;
  readonly onChange: (value: T) => void;
  readonly options: readonly (readonly [T, string])[];
}) {
  return (
    <ToggleButtonGroup
      aria-label={label}
      className="choice"
      selectionMode="single"
      disallowEmptySelection
      selectedKeys={[value]}
      onSelectionChange={(keys) => {
        const [key] = keys;
        if (key !== undefined) onChange(key as T);
      }}
    >
      {options.map(([key, words]) => (
        <ToggleButton key={key} id={key} className="choice-item">
          {words}
        </ToggleButton>
      ))}
    </ToggleButtonGroup>
  );
}
