import { labOfReading } from '../../../contract/book/lab-of-reading.ts';
import type { RecordOf } from '../../../contract/book/record.ts';
import { lineShift, type TurnedTile } from '../../../core/clay/line-shift.ts';
import { type ColoursOfBook, useColours } from '../../book/colours.ts';
import { useAll } from '../../book/queries.ts';
import { Tile } from '../../parts/tile.tsx';

const PAIRS_SHOWN = 8;

/** What the oven does to the clays of a line, from its tiles read raw and baked. */
export function LineOven({ line }: { readonly line: RecordOf<'line'> }) {
  const colours = useColours();
  const tiles = useAll('tile').records;
  const mixes = useAll('mix').byId;
  const blocks = useAll('block').byId;
  const turned = turnedOf(line.id, { colours, tiles, mixes, blocks });
  if (turned.length === 0) {
    return (
      <p className="soft small">
        What the oven does to it is not known: read one tile raw and the same tile baked.
      </p>
    );
  }
  const { words, how } = lineShift(turned);
  return (
    <div className="oven">
      <p>
        {line.body.name} {words}: {how}.
      </p>
      <ul className="oven-pairs" aria-label={`Tiles of ${line.body.name}, raw and baked`}>
        {turned.slice(0, PAIRS_SHOWN).map(({ id, name, raw, baked }) => (
          <li key={id} className="recipe-pair">
            <Tile lab={raw} name={`${name}, raw`} />
            <Tile lab={baked} name={`${name}, baked`} />
          </li>
        ))}
      </ul>
    </div>
  );
}

interface Book {
  readonly colours: ColoursOfBook;
  readonly tiles: readonly RecordOf<'tile'>[];
  readonly mixes: ReadonlyMap<string, RecordOf<'mix'>>;
  readonly blocks: ReadonlyMap<string, RecordOf<'block'>>;
}

interface TurnedOfBook extends TurnedTile {
  readonly id: string;
  readonly name: string;
}

/** Tiles all of one line that were read in both states; a block read in both is one as well. */
function turnedOf(lineId: string, { colours, tiles, mixes, blocks }: Book): TurnedOfBook[] {
  const isOfLine = (of: RecordOf<'tile'>['body']['of'], depth = 0): boolean => {
    if ('id' in of && of.kind === 'block') return blocks.get(of.id)?.body.lineId === lineId;
    const parts = 'parts' in of ? of.parts : mixes.get(of.id)?.body.parts;
    // Mixes of mixes are told by the book to end; the depth is for one half loaded.
    return parts?.every((part) => depth < 8 && isOfLine(part.of, depth + 1)) ?? false;
  };
  const pair = (id: string, name: string): TurnedOfBook[] => {
    const readings = colours.readingsOf(id).filter(({ body }) => body.of.id === id);
    const [raw, baked] = (['raw', 'baked'] as const).map((state) =>
      readings.find(({ body }) => body.state === state),
    );
    const before = raw === undefined ? undefined : labOfReading(raw.body);
    const after = baked === undefined ? undefined : labOfReading(baked.body);
    if (raw === undefined || baked === undefined || !before || !after) return [];
    const spread = Math.hypot(raw.body.spread, baked.body.spread) / Math.SQRT2;
    return [{ id, name, raw: before, baked: after, spread }];
  };
  return [
    ...tiles
      .filter(({ body }) => isOfLine(body.of))
      .flatMap(({ id, body }) => pair(id, body.code ?? body.name ?? 'A tile')),
    ...[...blocks.values()]
      .filter(({ body }) => body.lineId === lineId)
      .flatMap(({ id, body }) => pair(id, body.name)),
  ];
}
