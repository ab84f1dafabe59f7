import type { RecordOf } from '../../../contract/book/record.ts';
import { lchFromLab } from '../../../core/colour/spaces.ts';
import type { Lab } from '../../../core/colour/triples.ts';
import { sideInWords, sidesOf } from '../../../core/recipe/verdict.ts';
import { useColours } from '../../book/colours.ts';
import { useAll } from '../../book/queries.ts';
import { Sample } from '../../parts/tile.tsx';

/** Tenths of the hue circle, and greys apart. */
const SECTORS = 10;
const GREY_CHROMA = 8;

/** Lines beside each other, hue by hue: where one is lighter or duller, and what nobody has. */
export function HueByHue() {
  const blocks = useAll('block');
  const lines = useAll('line');
  const colours = useColours();
  const sectorOf = (lab: Lab) => {
    const [, chroma, hue] = lchFromLab(lab);
    return chroma < GREY_CHROMA ? SECTORS : Math.floor((hue / 360) * SECTORS) % SECTORS;
  };
  const coloured = blocks.records.flatMap(({ id, body }) => {
    const lab = colours.of(id)?.lab;
    return lab === undefined ? [] : [{ id, body, lab, sector: sectorOf(lab) }];
  });
  const names = [
    'red',
    'orange',
    'yellow',
    'yellow-green',
    'green',
    'blue-green',
    'blue',
    'violet-blue',
    'violet',
    'pink',
    'white, grey, black',
  ];
  return (
    <section className="bench scroll" aria-label="Lines hue by hue">
      <table className="table">
        <thead>
          <tr>
            <th>Hue</th>
            {lines.records.map(({ id, body }) => (
              <th key={id}>{body.name}</th>
            ))}
            <th>How they differ</th>
          </tr>
        </thead>
        <tbody>
          {names.map((name, sector) => {
            const here = coloured.filter((one) => one.sector === sector);
            return (
              <tr key={name}>
                <th scope="row">{name}</th>
                {lines.records.map(({ id }) => (
                  <td key={id}>
                    <div className="hue-cell">
                      {here
                        .filter(({ body }) => body.lineId === id)
                        .map((one) => (
                          <Sample key={one.id} lab={one.lab} name={one.body.name} />
                        ))}
                    </div>
                  </td>
                ))}
                <td>
                  {here.length === 0 ? 'Nobody has one.' : differenceInWords(here, lines.records)}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </section>
  );
}

function differenceInWords(
  here: readonly {
    readonly body: { readonly lineId: string; readonly name: string };
    readonly lab: Lab;
  }[],
  lines: readonly RecordOf<'line'>[],
): string {
  const [first] = here;
  const other = here.find(({ body }) => body.lineId !== first.body.lineId);
  if (other === undefined) return '';
  const [side] = sidesOf(first.lab, other.lab);
  const lineName = lines.find(({ id }) => id === other.body.lineId)?.body.name ?? '';
  return `${lineName} ${other.body.name} is ${sideInWords(side)} than ${first.body.name}.`;
}
