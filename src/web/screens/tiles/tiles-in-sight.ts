import type { RecordOf } from '../../../contract/book/record.ts';
import type { OpenClays } from '../../book/clays.ts';
import type { ColoursOfBook } from '../../book/colours.ts';
import { titleOfMix } from '../../book/names.ts';
import type { Share } from '../../workers/messages.ts';

export interface TileInSight {
  readonly key: string;
  readonly title: string;
  readonly raw?: RecordOf<'reading'>;
  readonly baked?: RecordOf<'reading'>;
  /** What it is made of, where the open clays know all of it. */
  readonly shares?: readonly Share[];
}

interface SightAsk {
  readonly tiles: readonly RecordOf<'tile'>[];
  readonly mixes: ReadonlyMap<string, RecordOf<'mix'>>;
  readonly blocks: readonly RecordOf<'block'>[];
  readonly colours: ColoursOfBook;
  readonly nameOf: (id: string) => string;
  readonly open: OpenClays | undefined;
}

/** Every tile that was read, the newest first, then readings of blocks of which no tile was made. */
export function tilesInSight({
  tiles,
  mixes,
  blocks,
  colours,
  nameOf,
  open,
}: SightAsk): TileInSight[] {
  const parentsOf = (of: RecordOf<'tile'>['body']['of']): readonly Share[] | undefined => {
    if ('id' in of && of.kind === 'block') {
      const block = open?.byBlock.get(of.id);
      return block === undefined ? undefined : [{ parent: block.parent, parts: 1 }];
    }
    const parts = 'parts' in of ? of.parts : mixes.get(of.id)?.body.parts;
    const shares = parts?.flatMap((part) => {
      const block = part.of.kind === 'block' ? open?.byBlock.get(part.of.id) : undefined;
      return block === undefined ? [] : [{ parent: block.parent, parts: part.parts }];
    });
    return shares !== undefined && shares.length === parts?.length ? shares : undefined;
  };
  const titleOf = ({ id, body }: RecordOf<'tile'>) => {
    if (body.name !== undefined || body.code !== undefined) {
      return [body.code, body.name].filter(Boolean).join(' ');
    }
    if ('id' in body.of) {
      const mix = mixes.get(body.of.id);
      return mix === undefined ? nameOf(body.of.id) : titleOfMix(mix);
    }
    return id;
  };
  const states = (id: string) => {
    const of = colours.readingsOf(id).filter(({ body }) => body.of.id === id);
    const raw = of.find(({ body }) => body.state === 'raw');
    const baked = of.find(({ body }) => body.state === 'baked');
    return { ...(raw === undefined ? {} : { raw }), ...(baked === undefined ? {} : { baked }) };
  };
  const own = [...tiles]
    .sort((one, other) => (one.createdAt < other.createdAt ? 1 : -1))
    .map((tile) => {
      const shares = parentsOf(tile.body.of);
      return {
        key: tile.id,
        title: titleOf(tile),
        ...states(tile.id),
        ...(shares === undefined ? {} : { shares }),
      };
    });
  const direct = blocks.flatMap(({ id }) => {
    const read = states(id);
    return read.raw === undefined && read.baked === undefined
      ? []
      : [{ key: id, title: nameOf(id), ...read }];
  });
  return [...own, ...direct].filter(({ raw, baked }) => raw !== undefined || baked !== undefined);
}
