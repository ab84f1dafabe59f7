import { describe, expect, it } from 'vitest';
import { type Mix, PAINTS, paint, tile } from '../../../test/conformance/virtual-studio.ts';
import { AppError } from '../errors.ts';
import { combinationKey, prepareTiles } from './prepare.ts';
import { LATENTS } from './prior.ts';
import type { TileReading } from './tile-reading.ts';

const { white, black, red, blue, yellow } = PAINTS;
const prepare = (mixes: readonly Mix[]) =>
  prepareTiles(
    mixes.map((mix) => tile(mix)),
    LATENTS,
  );

describe('tiles made ready', () => {
  it('has a block for every clay, for the shared unknowns, every photo and every combination', () => {
    const set = prepareTiles(
      [
        tile([[white, 1]], { photo: 'one' }),
        tile([[red, 1]], { photo: 'one' }),
        tile(
          [
            [red, 1],
            [white, 3],
          ],
          { photo: 'two' },
        ),
        tile([
          [red, 1],
          [white, 1],
          [blue, 1],
        ]),
      ],
      LATENTS,
    );
    expect(set.clays).toEqual([white.name, red.name, blue.name]);
    expect([...set.blockSizes].sort((a, b) => a - b)).toEqual([
      1,
      2,
      3,
      3,
      4,
      LATENTS,
      LATENTS,
      LATENTS,
    ]);
    expect(set.tiles.map((t) => t.photoBlock >= 0)).toEqual([true, true, true, false]);
    expect(set.tiles[0].photoBlock).toBe(set.tiles[1].photoBlock);
    expect(set.tiles.map((t) => t.combinationBlock >= 0)).toEqual([false, false, true, true]);
  });

  it('joins clays that share a tile, directly or through others, and no others', () => {
    const set = prepare([
      [
        [red, 1],
        [white, 1],
      ],
      [
        [blue, 1],
        [white, 1],
      ],
      [
        [yellow, 1],
        [black, 1],
      ],
      [[white, 1]],
    ]);
    const groupOf = (name: string) => set.group[set.clays.indexOf(name)];
    expect(groupOf(blue.name)).toBe(groupOf(red.name));
    expect(groupOf(black.name)).toBe(groupOf(yellow.name));
    expect(groupOf(black.name)).not.toBe(groupOf(red.name));
    expect(set.reference.map((clay) => set.clays[clay])[groupOf(red.name)]).toBe(white.name);
  });

  it('takes the white of a group as its reference, however few its tiles', () => {
    const set = prepare([
      [[red, 1]],
      [
        [red, 1],
        [blue, 1],
      ],
      [
        [red, 1],
        [yellow, 1],
      ],
      [
        [red, 1],
        [white, 1],
      ],
      [[white, 1]],
    ]);
    expect(set.reference.map((clay) => set.clays[clay])).toEqual([white.name]);
  });

  it('keeps the clays of a combination in one order whatever order a recipe names them in', () => {
    const set = prepare([
      [
        [red, 1],
        [white, 3],
        [blue, 1],
      ],
      [
        [blue, 2],
        [red, 1],
        [white, 1],
      ],
    ]);
    const names = set.tiles.map((t) => t.parts.map((part) => part.clay));
    expect(names[1]).toEqual(names[0]);
    const { main, others } = set.combinations.get(combinationKey(names[0]))!;
    expect([main, ...others]).toEqual(names[0]);
  });

  it('takes the same main clay, reference and type whichever tile comes first', () => {
    const otherWhite = { ...white, name: 'Second White' };
    // Two whites of equally many tiles; a combination whose largest part differs between tiles; a
    // pale red whose two own tiles lie on either side of a pastel's bound.
    const readings: TileReading[] = [
      tile([
        [red, 4],
        [blue, 1],
        [yellow, 1],
      ]),
      tile([
        [red, 1],
        [blue, 5],
        [yellow, 1],
      ]),
      tile([[white, 1]]),
      tile([[otherWhite, 1]]),
      tile([
        [white, 1],
        [otherWhite, 1],
        [red, 1],
      ]),
      labTile('Anemone', [72.4, 30, 0]),
      labTile('Anemone', [71.8, 30, 0]),
    ];
    const facts = (order: readonly TileReading[]) => {
      const set = prepareTiles(order, LATENTS);
      const name = (clay: number) => set.clays[clay];
      return {
        references: set.reference.map(name).sort(),
        classes: set.clays.map((clay, i) => `${clay} ${set.classes[i]}`).sort(),
        mains: [...set.combinations.values()]
          .map(
            ({ main, others }) => `${name(main)} of ${[main, ...others].map(name).sort().join()}`,
          )
          .sort(),
      };
    };
    expect(facts([...readings].reverse())).toEqual(facts(readings));
  });

  it.each<[string, TileReading['parts']]>([
    ['no part', []],
    ['shares that sum to less', [{ clay: 'Kelp', share: 0.9 }]],
    ['a share that is not a number', [{ clay: 'Kelp', share: Number.NaN }]],
    [
      'a share below 0',
      [
        { clay: 'Kelp', share: 1.5 },
        { clay: 'Foam', share: -0.5 },
      ],
    ],
    [
      'a clay twice',
      [
        { clay: 'Kelp', share: 0.5 },
        { clay: 'Kelp', share: 0.5 },
      ],
    ],
  ])('refuses a tile of %s', (_, parts) => {
    expect(() => prepareTiles([{ ...labTile('Kelp', [50, 0, 0]), parts }], LATENTS)).toThrow(
      AppError,
    );
  });

  it('takes a part of share 0 as not written: types, groups and clays stay the same', () => {
    const plain = [
      tile([[white, 1]]),
      tile([[red, 1]]),
      tile([
        [red, 1],
        [white, 3],
      ]),
    ];
    const ghost = { clay: 'Ghost', share: 0 };
    const haunted = plain.map((reading) => ({ ...reading, parts: [ghost, ...reading.parts] }));
    expect(prepareTiles(haunted, LATENTS)).toEqual(prepareTiles(plain, LATENTS));
  });

  it('refuses an empty set', () => {
    expect(() => prepareTiles([], LATENTS)).toThrow(AppError);
  });
});

function labTile(clay: string, lab: readonly [number, number, number]): TileReading {
  return {
    tile: `${clay} alone`,
    parts: [{ clay, share: 1 }],
    colour: { kind: 'lab', lab, light: 'D50', observer: 2 },
    spread: 0.5,
    geometry: 'included',
    partsSpread: 0,
  };
}

describe('type of a clay', () => {
  const classesOf = (mixes: readonly Mix[]) => {
    const set = prepare(mixes);
    return Object.fromEntries(set.clays.map((name, i) => [name, set.classes[i]]));
  };

  it('is found from its own tile', () => {
    expect(classesOf([[[white, 1]], [[black, 1]], [[red, 1]]])).toEqual({
      [white.name]: 'white',
      [black.name]: 'black',
      [red.name]: 'opaque',
    });
  });

  it('without its own tile is a concentrate where it is only ever a small share', () => {
    const strong = paint('Dioxazine Purple');
    const classes = classesOf([
      [[white, 1]],
      [
        [strong, 1],
        [white, 20],
      ],
      [
        [red, 1],
        [white, 2],
      ],
    ]);
    expect(classes[strong.name]).toBe('concentrate');
    expect(classes[red.name]).toBe('opaque');
  });

  it('is translucent where its only own tiles are pale films that show the backing', () => {
    const films = [0.8, 0.02].map((backing) =>
      tile([[white, 1]], { film: { thicknessMm: 2, backing }, name: `film on ${backing}` }),
    );
    expect(prepareTiles(films, LATENTS).classes).toEqual(['translucent']);
    // One backing alone shows nothing: the tile may as well be opaque.
    expect(prepareTiles([films[0]], LATENTS).classes).toEqual(['white']);
  });
});
