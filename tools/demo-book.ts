/**
 * Writes data/demo/book.json: the mix book of an invented sculptor of tide-pool creatures, in the
 * format that "kneadwell export" writes. Nothing in it was measured: absorption and scattering are
 * bumps and edges from seeded random numbers, mixed by the program's own formula, read with 0.5
 * units of noise an axis and parts cut 3 % unevenly. Lines, clays, mixes and figures are invented.
 * It shows what the program does and proves nothing about it.
 *
 * Run:     npx tsx tools/demo-book.ts
 */
import { writeFileSync } from 'node:fs';
import { mixSlopes } from '../src/core/clay/mixture.ts';
import { BANDS, GRID_NM } from '../src/core/colour/grid.ts';
import { labFromSpectrum } from '../src/core/colour/spaces.ts';
import { colourWeights } from '../src/core/colour/weights.ts';
import { seededChance } from '../src/core/numeric/seeded-chance.ts';
import { claySurface } from '../src/core/optics/surface.ts';
import {
  type BodyOf,
  type BookKind,
  type BookRecord,
  bookRecordSchema,
} from '../src/domain/records/record.ts';
import { bookJson } from '../src/formats/book-json.ts';
import { bump, type Curve, edge } from './absorption-curves.ts';

const chance = seededChance(20260);
const LAB_NOISE = 0.5;
const PARTS_SPREAD = 0.03;
const PHYSICS = { dilution: 0.03, shareExponent: 0, scatteringPerMm: 20 };
const D50 = colourWeights('D50', 2);

const flat =
  (height: number): Curve =>
  () =>
    height;
const sum =
  (...curves: Curve[]): Curve =>
  (nm) =>
    curves.reduce((total, curve) => total + curve(nm), 0);

/** Hues as absorption of unit strength. */
const HUES = {
  red: () => sum(edge(598, 9, 2.9), flat(0.02)),
  crimson: () => sum(bump(540, 42, 3.6), edge(430, 20, 0.8), flat(0.05)),
  orange: () => sum(edge(565, 10, 2.6), flat(0.02)),
  yellow: () => sum(edge(512, 14, 1.9), flat(0.02)),
  lime: () => sum(edge(490, 14, 1.8), bump(680, 40, 0.8), flat(0.03)),
  green: () => sum(bump(440, 42, 2.4), bump(650, 52, 2.4), flat(0.08)),
  teal: () => sum(bump(655, 60, 2.8), bump(420, 30, 0.9), flat(0.05)),
  blue: () => sum(bump(625, 60, 3.4), flat(0.04)),
  violet: () => sum(bump(575, 50, 3.4), flat(0.06)),
  pink: () => sum(bump(555, 45, 3.8), flat(0.04)),
  brown: () => sum(edge(560, 45, 2.4), flat(0.5)),
  earth: () => sum(edge(535, 32, 1.6), flat(0.22)),
  grey: () => sum(flat(1.2)),
  black: () => sum(flat(9)),
  white: () => sum(edge(402, 7, 0.25), flat(0.0015)),
  clear: () => sum(edge(420, 20, 0.003), flat(0.0005)),
} as const;
type Hue = keyof typeof HUES;

interface Clay {
  readonly id: string;
  readonly name: string;
  readonly line: 'saltmarsh' | 'brindle' | 'lantern';
  readonly clayType: BodyOf<'block'>['clayType'];
  readonly absorption: Float64Array;
  readonly scattering: number;
}

const slug = (name: string) =>
  name
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-|-$/g, '');

function clay(
  line: Clay['line'],
  name: string,
  hue: Hue,
  strength: number,
  clayType: Clay['clayType'] = 'opaque',
): Clay {
  const curve = HUES[hue]();
  const own = Math.exp(0.15 * chance.normal());
  const scattering =
    clayType === 'translucent' ? 0.04 : hue === 'white' ? 1 : 0.35 + 0.5 * chance.uniform();
  return {
    id: slug(name),
    name,
    line,
    clayType,
    absorption: Float64Array.from(GRID_NM, (nm) => curve(nm) * strength * own),
    scattering,
  };
}

const SALTMARSH: readonly (readonly [string, Hue, number])[] = [
  ['Foam', 'white', 1],
  ['Mussel', 'black', 1],
  ['Anemone', 'red', 1],
  ['Dulse', 'crimson', 1],
  ['Starfish', 'orange', 1],
  ['Limpet', 'yellow', 1],
  ['Samphire', 'lime', 1],
  ['Kelp', 'green', 1],
  ['Lagoon', 'teal', 1],
  ['Tidewater', 'blue', 1],
  ['Periwinkle', 'violet', 1],
  ['Urchin', 'pink', 1],
  ['Whelk', 'brown', 1],
  ['Sandhopper', 'earth', 1],
];
const BRINDLE: readonly (readonly [string, Hue, number])[] = [
  ['Cuttlebone', 'white', 1],
  ['Slate', 'grey', 1],
  ['Cockle', 'earth', 0.25],
  ['Razorshell', 'brown', 0.2],
  ['Prawn', 'orange', 0.2],
  ['Lobster', 'red', 0.8],
  ['Squat crab', 'red', 0.25],
  ['Thrift', 'pink', 0.2],
  ['Sea hare', 'crimson', 0.6],
  ['Dead man’s fingers', 'orange', 0.12],
  ['Breadcrumb sponge', 'yellow', 0.3],
  ['Dog whelk', 'yellow', 0.12],
  ['Sea lettuce', 'lime', 0.5],
  ['Gutweed', 'green', 0.4],
  ['Bladderwrack', 'green', 1.4],
  ['Oarweed', 'brown', 0.9],
  ['Sea holly', 'teal', 0.25],
  ['Blenny', 'green', 0.15],
  ['Goby', 'earth', 0.6],
  ['Wrasse', 'teal', 0.8],
  ['Lumpsucker', 'blue', 0.3],
  ['Mackerel', 'blue', 0.9],
  ['Sea slater', 'grey', 0.3],
  ['Ray', 'brown', 0.45],
  ['Snakelocks', 'violet', 0.3],
  ['Sea slug', 'violet', 0.9],
  ['Driftwood', 'earth', 1.1],
  ['Tern', 'grey', 0.06],
];
const LANTERN: readonly (readonly [string, Hue, number, Clay['clayType']])[] = [
  ['Moon jelly', 'clear', 1, 'translucent'],
  ['Comb jelly', 'yellow', 0.004, 'translucent'],
  ['Sea gooseberry', 'lime', 0.005, 'translucent'],
  ['Blue jelly', 'blue', 0.004, 'translucent'],
  ['Rose jelly', 'pink', 0.004, 'translucent'],
  ['Nacre', 'white', 1, 'pearl'],
  ['Abalone', 'teal', 0.25, 'pearl'],
  ['Top shell', 'pink', 0.2, 'pearl'],
];
const CLAYS: readonly Clay[] = [
  ...SALTMARSH.map(([name, hue, strength]) => clay('saltmarsh', name, hue, strength)),
  ...BRINDLE.map(([name, hue, strength]) => clay('brindle', name, hue, strength)),
  ...LANTERN.map(([name, hue, strength, clayType]) =>
    clay('lantern', name, hue, strength, clayType),
  ),
];
const AT = new Map(CLAYS.map(({ id }, i) => [id, i]));

type Parts = readonly (readonly [id: string, parts: number])[];

const COEFFICIENTS = CLAYS.map(({ absorption, scattering }) => ({
  absorption,
  scattering: new Float64Array(BANDS).fill(scattering),
}));
const CLASSES = CLAYS.map(({ id }) => (id === 'foam' ? 'white' : 'opaque'));

/** The colour that an eye or a photo would read of a tile of these clays, D50 and 2 degrees. */
function labRead(
  parts: Parts,
  thicknessMm: number | undefined,
  noise = LAB_NOISE,
): [number, number, number] {
  const cut = parts.map(([id, count]) => ({
    clay: AT.get(id)!,
    parts: parts.length === 1 ? 1 : count * Math.exp(PARTS_SPREAD * chance.normal()),
  }));
  const total = cut.reduce((all, part) => all + part.parts, 0);
  const shares = cut.map(({ clay, parts: count }) => ({ clay, share: count / total }));
  const film =
    thicknessMm === undefined
      ? undefined
      : { thicknessMm, backing: new Float64Array(BANDS).fill(0.8) };
  const { reflectance } = mixSlopes(
    shares,
    COEFFICIENTS,
    CLASSES,
    PHYSICS,
    claySurface('excluded'),
    film,
  );
  const pearl = shares.reduce(
    (all, { clay, share }) => all + (CLAYS[clay].clayType === 'pearl' ? share : 0),
    0,
  );
  const shift = [5 * pearl, 0, 1.5 * pearl];
  const lab = labFromSpectrum(reflectance, D50).map(
    (v, i) => v + shift[i] + noise * chance.normal(),
  );
  return lab.map((v) => Number(v.toFixed(1))) as [number, number, number];
}

const records: BookRecord[] = [];
let minute = 0;
function keep<K extends BookKind>(kind: K, id: string, body: BodyOf<K>): string {
  // One a minute from a morning in January on, so that "newest first" has a meaning.
  const at = new Date(Date.UTC(2026, 0, 10, 8, minute++)).toISOString();
  records.push(
    bookRecordSchema.parse({
      kind,
      id,
      version: 1,
      createdAt: at,
      changedAt: at,
      body,
    }) as BookRecord,
  );
  return id;
}
const day = (n: number) => new Date(Date.UTC(2026, 0, 10 + n)).toISOString().slice(0, 10);
const ref = <const K extends string>(kind: K, id: string) => ({ kind, id });

// Lines, collections, boxes, powders.
const BAKING = 'Baked at what its packet says, with a thermometer beside the clay.';
keep('line', 'saltmarsh', {
  name: 'Saltmarsh',
  clayType: 'strong',
  bakeLowC: 125,
  bakeHighC: 135,
  minutesPer6Mm: 30,
  neverExceedC: 150,
  densityGPerCm3: 1.7,
  densitySpread: 0.05,
  status: 'current',
  note: BAKING,
});
keep('line', 'brindle', {
  name: 'Brindle',
  clayType: 'soft',
  bakeLowC: 120,
  bakeHighC: 130,
  minutesPer6Mm: 30,
  neverExceedC: 145,
  densityGPerCm3: 1.85,
  densitySpread: 0.05,
  status: 'current',
});
keep('line', 'lantern', {
  name: 'Lantern',
  clayType: 'soft',
  bakeLowC: 110,
  bakeHighC: 120,
  minutesPer6Mm: 30,
  neverExceedC: 130,
  densityGPerCm3: 1.65,
  densitySpread: 0.08,
  status: 'current',
  note: 'Browns early; tented with card.',
});
for (const [id, name] of [
  ['for-the-fair', 'for the harbour fair'],
  ['thin-parts', 'thin parts'],
  ['gift', 'gift'],
])
  keep('collection', id, { name });
for (const [id, lid, place] of [
  ['drawer', 'Studio drawer', 'under the window'],
  ['tin-whites', 'Tin 1: whites and greys', undefined],
  ['tin-reds', 'Tin 2: reds and pinks', undefined],
  ['tin-greens', 'Tin 3: greens and blues', undefined],
  ['tile-box', 'Tile box', 'shelf'],
  ['spares', 'Spare lumps, baked', 'shelf'],
] as const) {
  keep('box', id, {
    lid,
    ...(place === undefined ? {} : { place }),
    ...(id.startsWith('tin') ? { insideOf: 'drawer' } : {}),
    holds: [],
  });
}
keep('powder', 'scale-shimmer', {
  name: 'Scale shimmer',
  code: 'P1',
  powderType: 'mica',
  packageG: 5,
  price: { minor: 320, currency: 'EUR' },
  usualShare: 0.02,
  coverageCm2PerG: 120,
  status: 'current',
});
keep('powder', 'rust-chalk', {
  name: 'Rust chalk',
  code: 'P2',
  powderType: 'chalk',
  packageG: 8,
  price: { minor: 190, currency: 'EUR' },
  coverageCm2PerG: 90,
  status: 'current',
});
keep('powder', 'wet-rock-varnish', {
  name: 'Wet rock varnish',
  code: 'P3',
  powderType: 'varnish',
  packageMl: 30,
  price: { minor: 540, currency: 'EUR' },
  coverageCm2PerMl: 110,
  status: 'current',
});

/** S01 to S14, B01 to B28, L01 to L08. */
function blockCode(i: number): string {
  const first = CLAYS.findIndex(({ line }) => line === CLAYS[i].line);
  return `${CLAYS[i].line[0].toUpperCase()}${String(i - first + 1).padStart(2, '0')}`;
}

// Blocks, one purchase each, and the amount used since.
const PACK = { saltmarsh: [60, 340], brindle: [50, 260], lantern: [45, 390] } as const;
CLAYS.forEach(({ id, name, line, clayType }, i) => {
  const [packageG, minor] = PACK[line];
  const price = { minor: minor + 10 * Math.floor(4 * chance.uniform()), currency: 'EUR' };
  const gone = id === 'tern';
  keep('block', id, {
    lineId: line,
    name,
    code: blockCode(i),
    clayType,
    packageG,
    price,
    status: gone ? 'discontinued' : 'current',
  });
  const packages = id === 'foam' || id === 'cuttlebone' ? 4 : 1 + Math.floor(2 * chance.uniform());
  keep('purchase', `lot-${id}`, {
    of: ref('block', id),
    boughtOn: day(-60 + (i % 40)),
    lotNumber: `L${2500 + i * 7}`,
    packages,
    price: { minor: price.minor * packages, currency: 'EUR' },
    reformulated: id === 'lobster',
  });
  keep('stock-entry', `bought-${id}`, {
    of: ref('block', id),
    purchaseId: `lot-${id}`,
    on: day(-60 + (i % 40)),
    why: 'bought',
    changeG: packageG * packages,
  });
  if (chance.uniform() < 0.6)
    keep('stock-entry', `used-${id}`, {
      of: ref('block', id),
      on: day(1 + (i % 30)),
      why: 'used',
      changeG: -Math.round(packageG * packages * (0.1 + 0.4 * chance.uniform())),
    });
  if (i % 9 === 0)
    keep('stock-entry', `counted-${id}`, {
      of: ref('block', id),
      on: day(40),
      why: 'counted',
      foundG: Math.round(packageG * packages * 0.55),
    });
});

// Sixty mixes, some of them made from other mixes.
type Mix = readonly [name: string, parts: string, tags?: string];
const MIXES: readonly Mix[] = [
  ['Sea moss', '5 kelp 2 samphire 1 foam', 'weeds'],
  ['Wet weed', '3 bladderwrack 1 oarweed', 'weeds'],
  ['Sunlit weed', '2 sea-lettuce 1 limpet 3 foam', 'weeds'],
  ['Eelgrass', '4 gutweed 1 kelp', 'weeds'],
  ['Old weed', '2 *sea-moss 1 whelk', 'weeds'],
  ['Weed tips', '1 *sea-moss 4 foam', 'weeds'],
  ['Weed in shade', '6 *sea-moss 1 mussel', 'weeds'],
  ['Dulse frill', '3 dulse 1 whelk', 'weeds'],
  ['Anemone bead', '4 anemone 1 urchin', 'anemones'],
  ['Anemone skirt', '2 anemone 1 dulse 1 foam', 'anemones'],
  ['Snakelocks arm', '5 snakelocks 2 gutweed 4 cuttlebone', 'anemones'],
  ['Snakelocks tip', '3 urchin 2 periwinkle 6 foam', 'anemones'],
  ['Daisy anemone', '3 cockle 1 prawn 2 foam', 'anemones'],
  ['Strawberry spot', '3 samphire 1 limpet 2 foam', 'anemones'],
  ['Starfish back', '5 starfish 1 anemone', 'stars'],
  ['Starfish edge', '3 starfish 1 limpet 1 foam', 'stars'],
  ['Cushion star', '2 prawn 1 goby 1 gutweed', 'stars'],
  ['Brittle star', '3 ray 1 slate 2 cuttlebone', 'stars'],
  ['Brittle star band', '2 *brittle-star 3 cuttlebone', 'stars'],
  ['Sun star', '3 lobster 2 starfish', 'stars'],
  ['Urchin shell', '2 urchin 1 snakelocks 3 foam', 'shells'],
  ['Limpet shell', '3 cockle 1 sea-slater 1 goby', 'shells'],
  ['Mussel blue', '5 mussel 2 tidewater 1 foam', 'shells'],
  ['Mussel bloom', '1 *mussel-blue 3 slate', 'shells'],
  ['Whelk white', '6 foam 1 cockle', 'shells'],
  ['Whelk stripe', '3 whelk 1 starfish', 'shells'],
  ['Periwinkle brown', '2 oarweed 1 driftwood', 'shells'],
  ['Razor sheen', '4 razorshell 1 nacre', 'shells'],
  ['Top shell pink', '3 top-shell 1 thrift', 'shells'],
  ['Abalone inside', '4 abalone 1 nacre', 'shells'],
  ['Crab back', '3 whelk 1 kelp 1 mussel', 'crabs'],
  ['Crab belly', '5 cuttlebone 1 cockle', 'crabs'],
  ['Crab claw', '2 lobster 1 whelk', 'crabs'],
  ['Squat blue', '2 tidewater 1 lagoon 2 foam', 'crabs'],
  ['Hermit leg', '3 squat-crab 1 goby', 'crabs'],
  ['Prawn glass', '8 moon-jelly 1 comb-jelly', 'crabs'],
  ['Blenny back', '3 goby 2 blenny 1 slate', 'fish'],
  ['Blenny spot', '1 *blenny-back 2 cuttlebone', 'fish'],
  ['Goby sand', '4 razorshell 1 driftwood', 'fish'],
  ['Wrasse green', '3 wrasse 1 samphire', 'fish'],
  ['Wrasse blue', '2 wrasse 1 mackerel', 'fish'],
  ['Lumpsucker skin', '4 lumpsucker 1 sea-holly', 'fish'],
  ['Mackerel stripe', '3 mackerel 1 mussel', 'fish'],
  ['Mackerel belly', '5 nacre 1 sea-slater', 'fish'],
  ['Ray back', '5 ray 1 driftwood', 'fish'],
  ['Ray spot', '1 *ray-back 3 cockle', 'fish'],
  ['Sea slug frill', '3 sea-slug 1 urchin 2 foam', 'slugs'],
  ['Sea slug body', '5 foam 1 sea-slug', 'slugs'],
  ['Sea slug tips', '2 limpet 1 starfish 1 foam', 'slugs'],
  ['Sea hare skin', '3 sea-hare 2 oarweed', 'slugs'],
  ['Sponge crust', '3 breadcrumb-sponge 1 dog-whelk', 'rock'],
  ['Dead fingers', '4 dead-man-s-fingers 1 cuttlebone', 'rock'],
  ['Wet rock', '3 slate 1 mussel', 'rock'],
  ['Dry rock', '1 *wet-rock 2 sea-slater 1 cuttlebone', 'rock'],
  ['Barnacle grey', '5 cuttlebone 1 slate', 'rock'],
  ['Rust stain', '2 driftwood 1 starfish', 'rock'],
  ['Pool sand', '4 cockle 1 dog-whelk 1 cuttlebone', 'rock'],
  ['Pool water', '9 moon-jelly 1 blue-jelly', 'water'],
  ['Jelly rim', '5 rose-jelly 1 moon-jelly', 'water'],
  ['Spray', '8 foam 1 sea-holly', 'water'],
];
const mixParts = new Map<string, readonly (readonly ['block' | 'mix', string, number])[]>();
const codeOf = new Map<string, string>();
const counts = new Map<string, number>();
MIXES.forEach(([name, written, tag = 'pool'], i) => {
  const id = slug(name);
  const words = written.split(' ');
  const parts = words.flatMap((word, at) => {
    if (at % 2 === 0) return [];
    const mixed = word.startsWith('*');
    return [
      [mixed ? 'mix' : 'block', mixed ? word.slice(1) : word, Number(words[at - 1])] as const,
    ];
  });
  mixParts.set(id, parts);
  const letter = tag[0].toUpperCase();
  counts.set(letter, (counts.get(letter) ?? 0) + 1);
  codeOf.set(id, `${letter}${counts.get(letter)}`);
  keep('mix', id, {
    code: codeOf.get(id)!,
    name,
    basis: 'volume',
    parts: parts.map(([kind, of, count]) => ({ of: ref(kind, of), parts: count })),
    tags: [tag, ...(i % 11 === 0 ? ['favourite'] : [])],
    status: i % 13 === 5 ? 'test' : i % 17 === 9 ? 'idea' : i === 24 ? 'retired' : 'saved',
    ...(name === 'Mackerel stripe'
      ? { powders: [{ powderId: 'scale-shimmer', share: 0.02 }] }
      : {}),
    ...(name === 'Weed in shade'
      ? { note: 'Turns grey if the black is heaped. Less is more.' }
      : {}),
  });
});

/** Parts of a mix in blocks. */
function inBlocks(id: string): Parts {
  const blocks = new Map<string, number>();
  const add = (parts: readonly (readonly ['block' | 'mix', string, number])[], scale: number) => {
    const total = parts.reduce((all, [, , count]) => all + count, 0);
    for (const [kind, of, count] of parts) {
      const share = (scale * count) / total;
      if (kind === 'block') blocks.set(of, (blocks.get(of) ?? 0) + share);
      else add(mixParts.get(of)!, share);
    }
  };
  add(mixParts.get(id)!, 1);
  return [...blocks];
}

// Tiles and readings: those baked to learn the clays, and those of half the mixes.
const bake = (line: Clay['line'], n: number) => [
  {
    day: day(n),
    setTempC: { saltmarsh: 130, brindle: 125, lantern: 115 }[line],
    actualTempC: { saltmarsh: 128, brindle: 124, lantern: 116 }[line],
    minutes: 30,
  },
];
let tray = 0;
function tile(
  id: string,
  code: string,
  of: BodyOf<'tile'>['of'],
  parts: Parts,
  line: Clay['line'],
  more: Partial<BodyOf<'tile'>> = {},
): void {
  const n = 2 + Math.floor(tray++ / 12);
  keep('tile', id, {
    code,
    of,
    basis: 'volume',
    state: 'baked',
    madeOn: day(n),
    bakes: bake(line, n),
    boxId: 'tile-box',
    ...more,
  });
  const pearl = parts.length === 1 && CLAYS[AT.get(parts[0][0])!].clayType === 'pearl';
  keep('reading', `read-${id}`, {
    of: ref('tile', id),
    readingKind: 'measured',
    state: 'baked',
    readAt: `${day(n + 1)}T10:00:00.000Z`,
    lab: { values: labRead(parts, more.thicknessMm), light: 'D50', observer: 2 },
    spread: LAB_NOISE,
    geometry: 'excluded',
    source: `tray ${Math.floor(tray / 12) + 1}`,
    ...(pearl ? { effect: 'pearl' as const } : {}),
  });
}
const own = (parts: Parts): BodyOf<'tile'>['of'] => ({
  parts: parts.map(([id, count]) => ({ of: ref('block', id), parts: count })),
});
for (const { id, line, clayType } of CLAYS) {
  const short = blockCode(AT.get(id)!);
  const film = clayType === 'translucent' ? { thicknessMm: 2, backing: 0.8 } : {};
  tile(`tile-${id}`, `${short} 1`, ref('block', id), [[id, 1]], line, {
    ...film,
    purchaseIds: [`lot-${id}`],
  });
  const white = line === 'brindle' ? 'cuttlebone' : 'foam';
  if (id === white || id === 'foam') continue;
  tile(
    `tint-${id}`,
    `${short} 2`,
    own([
      [id, 1],
      [white, 3],
    ]),
    [
      [id, 1],
      [white, 3],
    ],
    line,
  );
  if (line === 'saltmarsh' && id !== 'mussel')
    tile(
      `pale-${id}`,
      `${short} 3`,
      own([
        [id, 1],
        [white, 9],
      ]),
      [
        [id, 1],
        [white, 9],
      ],
      line,
    );
  if (['limpet', 'starfish', 'samphire'].includes(id))
    tile(
      `dark-${id}`,
      `${short} 4`,
      own([
        [id, 16],
        ['mussel', 1],
      ]),
      [
        [id, 16],
        ['mussel', 1],
      ],
      line,
    );
}
tile(
  'black-1',
  'MUSS 8',
  own([
    ['mussel', 1],
    ['foam', 15],
  ]),
  [
    ['mussel', 1],
    ['foam', 15],
  ],
  'saltmarsh',
);
tile(
  'white-dark',
  'FOAM 2',
  own([
    ['foam', 16],
    ['mussel', 1],
  ]),
  [
    ['foam', 16],
    ['mussel', 1],
  ],
  'saltmarsh',
);
tile(
  'bridge-1',
  'BRID 1',
  own([
    ['foam', 1],
    ['slate', 1],
  ]),
  [
    ['foam', 1],
    ['slate', 1],
  ],
  'saltmarsh',
);
tile(
  'bridge-2',
  'BRID 2',
  own([
    ['cuttlebone', 4],
    ['kelp', 1],
  ]),
  [
    ['cuttlebone', 4],
    ['kelp', 1],
  ],
  'brindle',
);
tile(
  'bridge-3',
  'BRID 3',
  own([
    ['cuttlebone', 16],
    ['mussel', 1],
  ]),
  [
    ['cuttlebone', 16],
    ['mussel', 1],
  ],
  'brindle',
);
MIXES.forEach(([name], i) => {
  const id = slug(name);
  const jelly = mixParts.get(id)!.some(([, of]) => of.includes('jelly'));
  if (i % 2 === 1 || jelly) return;
  tile(`mix-${id}`, codeOf.get(id)!, ref('mix', id), inBlocks(id), 'saltmarsh', {
    finish: i % 4 === 0 ? 'sanded' : 'as baked',
  });
});
// Before and after baking: raw clay is a little darker and duller here.
for (const id of ['kelp', 'anemone', 'urchin', 'lagoon', 'cockle', 'lobster', 'wrasse', 'foam']) {
  const [l, a, b] = labRead([[id, 1]], undefined);
  keep('reading', `raw-${id}`, {
    of: ref('tile', `tile-${id}`),
    readingKind: 'measured',
    state: 'raw',
    lab: {
      values: [
        Number((l - 1.8).toFixed(1)),
        Number((a * 0.93).toFixed(1)),
        Number((b * 0.93).toFixed(1)),
      ],
      light: 'D50',
      observer: 2,
    },
    spread: LAB_NOISE,
    geometry: 'excluded',
    source: 'tray 0',
  });
}
keep('reading', 'eye-spray', {
  of: ref('mix', 'spray'),
  readingKind: 'by eye',
  state: 'baked',
  lab: { values: [91, -3, -2], light: 'D50', observer: 2 },
  spread: 4,
  geometry: 'excluded',
  source: 'beside the window',
});

// Palettes, notes, figures, settings.
const aim = (
  id: string,
  name: string,
  lab: [number, number, number],
  mixId?: string,
  toleranceDE00 = 1.8,
) => ({ id, name, lab, toleranceDE00, ...(mixId === undefined ? {} : { mixId }) });
keep('palette', 'low-tide', {
  name: 'Low tide',
  tags: ['weeds'],
  aims: [
    aim('moss', 'moss', [46, -18, 24], 'sea-moss'),
    aim('frill', 'frill', [30, 26, 8], 'dulse-frill', 3.5),
    aim('rock', 'rock', [38, 0, -1], 'wet-rock'),
    aim('glint', 'glint', [82, -6, 2]),
  ],
});
keep('palette', 'anemone-garden', {
  name: 'Anemone garden',
  aims: [
    aim('bead', 'bead', [42, 52, 30], 'anemone-bead'),
    aim('tip', 'tip', [66, 22, -18], 'snakelocks-tip'),
    aim('arm', 'arm', [60, 4, -10], 'snakelocks-arm', 3.5),
  ],
});
keep('palette', 'blenny-set', {
  name: 'Blenny and friends',
  aims: [aim('back', 'back', [50, -2, 12], 'blenny-back'), aim('belly', 'belly', [84, 1, 6])],
});
keep('palette', 'commission', {
  name: 'Sea slug commission',
  aims: [
    aim('frill', 'frill', [58, 30, -22], 'sea-slug-frill'),
    aim('tips', 'tips', [82, 4, 60], 'sea-slug-tips'),
    aim('impossible', 'the green of the original', [70, -53, 34]),
  ],
});
for (const [id, of, feels, done, text] of [
  [
    'note-1',
    ref('line', 'brindle'),
    ['soft'],
    ['leached'],
    'Leached overnight between papers; holds spines now.',
  ],
  [
    'note-2',
    ref('block', 'dulse'),
    ['sticky'],
    ['chilled'],
    'Ten minutes in the cold before cutting.',
  ],
  ['note-3', ref('block', 'mussel'), ['stiff'], ['warmed', 'conditioned'], undefined],
  [
    'note-4',
    ref('line', 'lantern'),
    ['soft', 'sticky'],
    ['rested'],
    'Keeps every fingerprint; gloves.',
  ],
  ['note-5', ref('mix', 'crab-back'), ['crumbly'], ['softened'], 'Too long in the tin.'],
  ['note-6', ref('powder', 'scale-shimmer'), [], [], 'Fine dust: mask on, fan off, wiped up wet.'],
] as const) {
  keep('note', id, {
    of,
    on: day(12),
    feels: [...feels],
    done: done.map((what) => ({ what, minutes: 30 })),
    ...(text === undefined ? {} : { text }),
  });
}
const figure = (
  id: string,
  name: string,
  code: string,
  mixes: readonly string[],
  more: Partial<BodyOf<'figure'>>,
) =>
  keep('figure', id, {
    name,
    code,
    batches: mixes.map((mix, i) => ({
      of: ref('mix', mix),
      version: 1,
      massG: 4 + 3 * i,
      ...(i === 0 ? { spare: { massG: 1.5, state: 'baked' as const, boxId: 'spares' } } : {}),
    })),
    bakes: [
      {
        day: day(45),
        setTempC: 130,
        actualTempC: 127,
        minutes: 40,
        note: 'thermometer beside the feet',
      },
    ],
    ...more,
  });
figure('fig-crab', 'Shore crab, arms up', 'F1', ['crab-back', 'crab-belly', 'crab-claw'], {
  madeOn: day(46),
  price: { minor: 4800, currency: 'EUR' },
  holder: 'the shop on the quay',
  leftOn: day(60),
  collectionIds: ['for-the-fair'],
});
figure('fig-blenny', 'Blenny in a shell', 'F2', ['blenny-back', 'blenny-spot', 'whelk-white'], {
  madeOn: day(48),
  paletteId: 'blenny-set',
});
figure(
  'fig-slug',
  'Sea slug, frilled',
  'F3',
  ['sea-slug-body', 'sea-slug-frill', 'sea-slug-tips'],
  {
    madeOn: day(52),
    paletteId: 'commission',
    price: { minor: 6500, currency: 'EUR' },
    collectionIds: ['thin-parts'],
  },
);
figure('fig-star', 'Cushion star family', 'F4', ['cushion-star', 'starfish-back'], {
  madeOn: day(55),
});
figure(
  'fig-anemones',
  'Three anemones on a rock',
  'F5',
  ['anemone-bead', 'anemone-skirt', 'wet-rock', 'sea-moss'],
  { madeOn: day(58), paletteId: 'anemone-garden', collectionIds: ['for-the-fair'] },
);
keep('figure', 'fig-weed', {
  name: 'Sea slug in the weed',
  code: 'F6',
  plan: {
    shapes: [
      {
        name: 'Fronds',
        count: 240,
        shape: { form: 'leaf', lengthMm: 20, widthMm: 6, thicknessMm: 1 },
        of: ref('mix', 'sea-moss'),
        bulk: 'thin',
      },
      {
        name: 'Coils',
        count: 5,
        shape: { form: 'coil', wireMm: 3, acrossMm: 12, turns: 3, pitchMm: 6 },
        of: ref('mix', 'dulse-frill'),
        bulk: 'thin',
      },
      {
        name: 'Body',
        count: 1,
        shape: { form: 'skin over a ball', skinMm: 3, coreMm: 40 },
        of: ref('mix', 'sea-slug-body'),
        bulk: 'bulky',
      },
    ],
    cutterMm: 20,
    sheetMm: 3,
    hours: 22,
    hourly: { minor: 1800, currency: 'EUR' },
  },
  batches: [],
  bakes: [],
});
keep('settings', 'settings', {
  units: { length: 'mm', mass: 'g', temp: 'C', volume: 'ml' },
  currency: 'EUR',
  studio: 'The Rockpool Index',
  stamps: [...'ABCDFRSWabcfsw0123456789'].map((sign) => ({
    sign,
    ...(/\d/.test(sign) ? { count: 2 } : {}),
  })),
  shortNames: (
    [
      ['F', 'foam'],
      ['M', 'mussel'],
      ['A', 'anemone'],
      ['S', 'starfish'],
      ['L', 'limpet'],
      ['K', 'kelp'],
      ['T', 'tidewater'],
      ['U', 'urchin'],
      ['W', 'whelk'],
      ['C', 'cuttlebone'],
    ] as const
  ).map(([shortName, id]) => ({ shortName, of: ref('block', id) })),
  cutters: [
    { name: 'small round', volumeMm3: 236 },
    { name: 'big round', volumeMm3: 942 },
  ],
  scaleStepG: 0.1,
});

const twice = records.find(({ id }, i) => records.findIndex((record) => record.id === id) !== i);
if (twice !== undefined) throw new Error(`${twice.id} stands twice`);

// The contents of the boxes come last, when everything in them exists.
const lies: Readonly<Record<string, readonly string[]>> = {
  'tin-whites': ['foam', 'cuttlebone', 'slate', 'sea-slater'],
  'tin-reds': ['anemone', 'dulse', 'lobster', 'urchin'],
  'tin-greens': ['kelp', 'lagoon', 'tidewater', 'samphire'],
};
const whole = records.map((record) =>
  record.kind === 'box' && lies[record.id] !== undefined
    ? {
        ...record,
        body: {
          ...record.body,
          holds: lies[record.id].map((id) => ({ of: ref('block', id), massG: 30 })),
        },
      }
    : record,
);
writeFileSync(
  new URL('../data/demo/book.json', import.meta.url),
  bookJson(whole as readonly BookRecord[]),
);
