import { useId } from 'react';

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
  const name = useId();
  const choice = (
    <div role="radiogroup" aria-label={label} className="choice">
      {options.map(([key, words, short]) => (
        <label key={key} className="choice-item">
          <input
            type="radio"
            className="input-inside"
            name={name}
            checked={key === value}
            onChange={() => onChange(key)}
            // The same name at every width; the words beside it would be read out a second time.
            aria-label={words}
          />
          <span aria-hidden="true">
            {short === undefined ? (
              words
            ) : (
              <>
                <span className="words-wide">{words}</span>
                <span className="words-short">{short}</span>
              </>
            )}
          </span>
        </label>
      ))}
    </div>
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
