import './clay-picker.css';
import { useState } from 'react';
import { useClayColours } from '../colour/clay-colours.ts';
import { screenColour } from '../colour/screen-colour.ts';
import { Button } from './button.tsx';
import { Dialog } from './dialog.tsx';

interface PickedClay {
  readonly blockId: string;
  readonly name: string;
  readonly lineId: string;
}

/** A button that opens all clays, by line, each with its colour and name, to choose one. */
export function ClayPicker({
  label,
  lines,
  clays,
  onChoose,
}: {
  readonly label: string;
  readonly lines: readonly { readonly id: string; readonly name: string }[];
  readonly clays: readonly PickedClay[];
  readonly onChoose: (blockId: string) => void;
}) {
  const [open, setOpen] = useState(false);
  if (clays.length === 0) return null;
  return (
    <>
      <Button onPress={() => setOpen(true)}>{label}</Button>
      <Dialog title={label} isOpen={open} onClose={() => setOpen(false)}>
        {lines.map(({ id, name }) => {
          const own = clays.filter(({ lineId }) => lineId === id);
          return own.length === 0 ? null : (
            <section key={id} className="stack tight" aria-label={name}>
              <h3>{name}</h3>
              <ul className="clay-list">
                {own.map((clay) => (
                  <li key={clay.blockId}>
                    <button
                      type="button"
                      className="clay-choice"
                      onClick={() => {
                        setOpen(false);
                        onChoose(clay.blockId);
                      }}
                    >
                      <ClayColour blockId={clay.blockId} />
                      <span className="small">{clay.name}</span>
                    </button>
                  </li>
                ))}
              </ul>
            </section>
          );
        })}
      </Dialog>
    </>
  );
}

function ClayColour({ blockId }: { readonly blockId: string }) {
  const lab = useClayColours()(blockId);
  return lab === undefined ? (
    <span className="clay-colour no-colour" />
  ) : (
    <span className="clay-colour" style={{ background: screenColour(lab).css }} />
  );
}
