import { deltaE2000 } from '../../../core/colour/difference.ts';
import { HUED_CHROMA } from '../../../core/colour/hue-gaps.ts';
import { lchFromLab } from '../../../core/colour/spaces.ts';
import type { Lab } from '../../../core/colour/triples.ts';
import { sideInWords, sidesOf } from '../../../core/verdict/verdict.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { useColours } from '../../book/colours.ts';
import { useAll } from '../../book/queries.ts';
import { HUE_WORDS, hueWord } from '../../colour/hue-words.ts';
import { Tile } from '../../parts/tile.tsx';
import { HueRing } from './hue-ring.tsx';

const GREYS = 'white, grey, black';
/** Blocks with a larger difference are not counterparts; common practice, no source. */
const COUNTERPART_DE = 12;

interface Coloured {
  readonly id: string;
  readonly name: string;
  readonly lab: Lab;
  readonly line: RecordOf<'line'> | undefined;
}

/** Compares lines hue by hue: which is lighter or duller, and which hues are missing. */
export function HueByHue({ onOpen }: { readonly onOpen: (blockId: string) => void }) {
  const blocks = useAll('block').records;
  const lines = useAll('line');
  const colours = useColours();
  const coloured = blocks.flatMap(({ id, body }): Coloured[] => {
    const lab = colours.of(id)?.lab;
    return lab === undefined
      ? []
      : [{ id, name: body.name, lab, line: lines.byId.get(body.lineId) }];
  });
  const used = lines.records.filter(({ id }) => coloured.some(({ line }) => line?.id === id));
  return (
    <>
      <HueRing blocks={coloured} />
      <ul className="hues">
        {[...HUE_WORDS, GREYS].map((name) => {
          const here = coloured.filter(({ lab }) => hueName(lab) === name);
          return (
            <li key={name}>
              <div className="hue-says">
                <h2 className="small-head">{upper(name)}</h2>
                {here.length === 0 ? <p className="soft">No clay yet.</p> : null}
                {differences(here).map((sentence) => (
                  <p key={sentence} className="small">
                    {sentence}
                  </p>
                ))}
              </div>
              <div className="hue-lines">
                {used.map((line) => {
                  const own = here.filter((one) => one.line?.id === line.id);
                  if (own.length === 0) return null;
                  return (
                    <div key={line.id} className="hue-line">
                      <span className="small soft">{line.body.name}</span>
                      <ul className="hue-tiles bench">
                        {own
                          .toSorted((one, other) => other.lab[0] - one.lab[0])
                          .map((one) => (
                            <li key={one.id}>
                              <button type="button" onClick={() => onOpen(one.id)}>
                                <Tile lab={one.lab} name={one.name} />
                                <span className="small">{one.name}</span>
                              </button>
                            </li>
                          ))}
                      </ul>
                    </div>
                  );
                })}
              </div>
            </li>
          );
        })}
      </ul>
    </>
  );
}

function upper(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function hueName(lab: Lab): string {
  const [, chroma, hue] = lchFromLab(lab);
  if (chroma < HUED_CHROMA) return GREYS;
  return hueWord(hue);
}

/** Counterparts of two lines in words, the closest first; one sentence per pair of lines. */
function differences(here: readonly Coloured[]): readonly string[] {
  const pairs = here.flatMap((one, i) =>
    here
      .slice(i + 1)
      .filter((other) => other.line !== undefined && other.line.id !== one.line?.id)
      .map((other) => ({ one, other, dE00: deltaE2000(one.lab, other.lab) })),
  );
  const said = new Set<string>();
  return pairs
    .filter(({ dE00 }) => dE00 <= COUNTERPART_DE)
    .sort((a, b) => a.dE00 - b.dE00)
    .flatMap(({ one, other, dE00 }) => {
      const lines = [one.line?.id, other.line?.id].sort().join(' ');
      if (said.has(lines)) return [];
      said.add(lines);
      const [first, second] = sidesOf(one.lab, other.lab);
      if (dE00 < 0.8) return [`${one.name} and ${other.name} look the same.`];
      const also = second.size >= 1.8 ? ` and ${sideInWords(second)}` : '';
      return [
        `${other.line?.body.name} ${other.name} is ${sideInWords(first)}${also} than ${one.line?.body.name} ${one.name}.`,
      ];
    });
}
