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
  /** Key, words, and shorter words for a phone. */
  readonly options: readonly (readonly [T, string, string?])[];
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
      {options.map(([key, words, short]) => (
        <ToggleButton
          key={key}
          id={key}
          className="choice-item"
          // The same name at every width; the shorter words are part of it.
          {...(short === undefined ? {} : { 'aria-label': words })}
        >
          {short === undefined ? (
            words
          ) : (
            <>
              <span className="words-wide">{words}</span>
              <span className="words-short">{short}</span>
            </>
          )}
        </ToggleButton>
      ))}
    </ToggleButtonGroup>
  );
}
