import { type ReactNode, useId } from 'react';
import {
  FieldError,
  Input,
  Label,
  Text,
  TextArea,
  TextField,
  type TextFieldProps,
} from 'react-aria-components';

/** With a finger a field waits to be pressed: the keyboard of the screen would cover what it is about. */
const types = globalThis.matchMedia?.('(pointer: fine)').matches === true;

/** A text field. `no` says what is wrong with the text, and what to type instead. */
export function Field({
  label,
  help,
  no,
  rows,
  placeholder,
  inputMode,
  autoFocus = false,
  ...rest
}: Omit<TextFieldProps, 'children' | 'className'> & {
  readonly label: string;
  readonly help?: string;
  readonly no?: string | undefined;
  readonly rows?: number;
  readonly placeholder?: string;
}) {
  return (
    // The browser's own check would block the form for as long as the last message is shown.
    <TextField
      {...rest}
      autoFocus={autoFocus && types}
      className="field"
      isInvalid={no !== undefined}
      validationBehavior="aria"
    >
      <Label>{label}</Label>
      {rows === undefined ? (
        <Input {...(placeholder === undefined ? {} : { placeholder })} inputMode={inputMode} />
      ) : (
        <TextArea rows={rows} {...(placeholder === undefined ? {} : { placeholder })} />
      )}
      {help === undefined ? null : (
        <Text slot="description" className="field-help">
          {help}
        </Text>
      )}
      <FieldError className="field-no">{no}</FieldError>
    </TextField>
  );
}

/** A drop-down list, drawn by the browser, as every phone shows lists in its own way. */
export function Pick<T extends string>({
  label,
  help,
  value,
  onChange,
  options,
}: {
  readonly label: string;
  readonly help?: string;
  readonly value: T;
  readonly onChange: (value: T) => void;
  readonly options: readonly (readonly [T, string])[];
}) {
  const id = useId();
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <select
        id={id}
        value={value}
        onChange={(event) => onChange(event.target.value as T)}
        {...(help === undefined ? {} : { 'aria-describedby': `${id}-help` })}
      >
        {options.map(([key, words]) => (
          <option key={key} value={key}>
            {words}
          </option>
        ))}
      </select>
      {help === undefined ? null : (
        <span id={`${id}-help`} className="field-help">
          {help}
        </span>
      )}
    </div>
  );
}

/** A section with its heading. */
export function Part({
  title,
  look = '',
  children,
}: {
  readonly title: string;
  /** An extra class for its own style. */
  readonly look?: string;
  readonly children: ReactNode;
}) {
  const id = useId();
  return (
    <section className={`part ${look}`} aria-labelledby={id}>
      <h2 id={id}>{title}</h2>
      {children}
    </section>
  );
}
