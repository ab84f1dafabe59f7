import { ToggleButton, ToggleButtonGroup } from 'react-aria-components';

/** One of a few, all of them in sight. */
export function Choice<T extends string>({
  label,
  isLabelled = false,
  value,
  onChange,
  options,
}: {
  readonly label: string;
  /** The label stands above the choice too. */
  readonly isLabelled?: boolean;
  readonly value: T;
  readonly onChange: (value: T) => void;
  /** Key, words, and shorter words for a phone. */
  readonly options: readonly (readonly [T, string, string?])[];
}) {
  const choice = (
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
  if (!isLabelled) return choice;
  return (
    <div className="field">
      <span className="field-label" aria-hidden="true">
        {label}
      </span>
      {choice}
    </div>
  );
}
