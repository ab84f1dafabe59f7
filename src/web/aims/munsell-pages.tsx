import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import { screenColour } from '../colour/screen-colour.ts';
import { Pick } from '../parts/field.tsx';
import { Scrolled } from '../parts/scrolled.tsx';

const FAMILIES = ['R', 'YR', 'Y', 'GY', 'G', 'BG', 'B', 'PB', 'P', 'RP'] as const;
const STEPS = ['2.5', '5', '7.5', '10'] as const;
const VALUES = [9, 8, 7, 6, 5, 4, 3, 2];
const CHROMAS = [2, 4, 6, 8, 10, 12, 14];

interface Chip {
  readonly value: number;
  readonly chroma: number;
  readonly lab: Lab;
}

async function chipsOf(page: string): Promise<readonly Chip[]> {
  const { labFromMunsell } = await import('../../core/colour/munsell.ts');
  const { parseMunsell } = await import('../../core/colour/munsell-notation.ts');
  return VALUES.flatMap((value) =>
    CHROMAS.flatMap((chroma) => {
      const found = labFromMunsell(parseMunsell(`${page} ${value}/${chroma}`));
      return found.held ? [{ value, chroma, lab: found.lab }] : [];
    }),
  );
}

/** One hue per page, value upwards and chroma to the right, as in Munsell books (ASTM D1535). */
export function MunsellPages({
  onChoose,
}: {
  readonly onChoose: (lab: Lab, words: string) => void;
}) {
  const [step, setStep] = useState<(typeof STEPS)[number]>('5');
  const [family, setFamily] = useState<(typeof FAMILIES)[number]>('G');
  const page = `${step}${family}`;
  const { data = [] } = useQuery({ queryKey: ['munsell', page], queryFn: () => chipsOf(page) });
  return (
    <div className="stack">
      <div className="two">
        <Pick
          label="Hue step"
          value={step}
          onChange={setStep}
          options={STEPS.map((s) => [s, s] as const)}
        />
        <Pick
          label="Hue family"
          value={family}
          onChange={setFamily}
          options={FAMILIES.map((f) => [f, f] as const)}
        />
      </div>
      <Scrolled bench label={`Munsell page ${page}`}>
        <table className="munsell">
          <tbody>
            {VALUES.map((value) => (
              <tr key={value}>
                <th scope="row">{value}/</th>
                {CHROMAS.map((chroma) => {
                  const chip = data.find((c) => c.value === value && c.chroma === chroma);
                  const words = `${page} ${value}/${chroma}`;
                  return (
                    <td key={chroma}>
                      {chip === undefined ? null : (
                        <button
                          type="button"
                          aria-label={words}
                          style={{ background: screenColour(chip.lab).css }}
                          onClick={() => onChoose(chip.lab, words)}
                        />
                      )}
                    </td>
                  );
                })}
              </tr>
            ))}
            <tr>
              <td />
              {CHROMAS.map((chroma) => (
                <th key={chroma} scope="col">
                  /{chroma}
                </th>
              ))}
            </tr>
          </tbody>
        </table>
      </Scrolled>
    </div>
  );
}
