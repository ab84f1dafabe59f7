import { invalidInput } from '../errors.ts';

/** Shapes that parts of a figure are made in; all sizes in mm, the turns of a coil excepted. */
export const SHAPE_SIZES = {
  ball: ['diameterMm'],
  log: ['diameterMm', 'lengthMm'],
  cone: ['diameterMm', 'lengthMm'],
  horn: ['rootMm', 'tipMm', 'lengthMm'],
  teardrop: ['diameterMm', 'lengthMm'],
  leaf: ['lengthMm', 'widthMm', 'thicknessMm'],
  petal: ['lengthMm', 'widthMm', 'thicknessMm'],
  coil: ['wireMm', 'acrossMm', 'turns', 'pitchMm'],
  sheet: ['lengthMm', 'widthMm', 'thicknessMm'],
  'skin over a ball': ['skinMm', 'coreMm'],
  'skin over a log': ['skinMm', 'coreMm', 'lengthMm'],
  amount: ['massG'],
} as const satisfies Readonly<Record<string, readonly string[]>>;

export type ShapeForm = keyof typeof SHAPE_SIZES;
export const SHAPE_FORMS = Object.keys(SHAPE_SIZES) as ShapeForm[];

/** A shape with its sizes. An amount is a weight, for what has no shape. */
export type PartShape = {
  readonly [F in ShapeForm]: { readonly form: F } & {
    readonly [S in (typeof SHAPE_SIZES)[F][number]]: number;
  } & (F extends ThinForm ? { readonly edges?: 'feathered' } : object);
}[ShapeForm];

/** Shapes whose edges may be rolled out thin. */
type ThinForm = 'leaf' | 'petal';

/** Sizes a part may have, mm; wider than any, so that only slips are refused. */
export const PART_SIZES = [0.05, 1000] as const;
/** Turns of a coil, and grams of an amount. */
export const PART_AMOUNTS = [0.01, 100_000] as const;

const SIZE_WORDS: Readonly<Record<string, string>> = {
  diameterMm: 'diameter',
  lengthMm: 'length',
  widthMm: 'width',
  thicknessMm: 'thickness',
  rootMm: 'diameter at the root',
  tipMm: 'diameter at the tip',
  wireMm: 'thickness of the clay',
  acrossMm: 'width of the coil',
  turns: 'turns',
  pitchMm: 'distance between turns',
  skinMm: 'thickness of the skin',
  coreMm: 'diameter of the core',
  massG: 'grams',
};

const FEATHERED = 'feathered';

/**
 * A part as people write it: "leaf 20 x 6 x 1 mm", "ball 25", "skin over a ball 3 x 40 mm", "amount 12 g".
 * Refuses: an unknown shape, too few or too many sizes, sizes that no part has -> invalid-input
 * Holds:   `shapeInWords` of the result reads back as the same shape; of a leaf, a petal and a sheet the sizes
 *          may come in any order, the largest is the length and the smallest the thickness
 */
export function readShape(text: string): PartShape {
  const found = /^\s*([a-z ]+?)\s*(-?[\d.,].*?)\s*(?:mm|g)?\s*$/i.exec(text);
  const words = (found?.[1] ?? '').toLowerCase().replace(/\s+/g, ' ');
  const feathered = words.startsWith(`${FEATHERED} `);
  const bare = feathered ? words.slice(FEATHERED.length + 1) : words;
  const form = SHAPE_FORMS.find((one) => one === bare);
  if (found === null || form === undefined || (feathered && form !== 'leaf' && form !== 'petal')) {
    throw invalidInput(
      `"${text.slice(0, 60)}" is not a shape with sizes.`,
      `Write a shape and its sizes, for example "leaf 20 x 6 x 1 mm". Shapes: ${SHAPE_FORMS.join(', ')}.`,
    );
  }
  const names = SHAPE_SIZES[form];
  const sizes = (found[2] ?? '')
    .split(/\s*(?:mm)?\s*[x×*]\s*/i)
    .map((one) => Number(one.replace(',', '.')));
  const given = form === 'coil' && sizes.length === 3 ? [...sizes, sizes[0] ?? Number.NaN] : sizes;
  if (given.length !== names.length || !given.every(Number.isFinite)) {
    throw invalidInput(
      `A ${form} has ${names.length === 1 ? 'one size' : `${names.length} sizes`}, and "${found[2]?.slice(0, 40)}" does not give ${names.length === 1 ? 'it' : 'them'}.`,
      `Write them in this order: ${names.map((one) => SIZE_WORDS[one]).join(' x ')}.`,
    );
  }
  const isFlat = form === 'leaf' || form === 'petal' || form === 'sheet';
  const inOrder = isFlat ? given.toSorted((a, b) => b - a) : given;
  const shape = {
    form,
    ...Object.fromEntries(names.map((name, i) => [name, inOrder[i]])),
    ...(feathered ? { edges: FEATHERED } : {}),
  };
  return checkedShape(shape as unknown as PartShape);
}

/**
 * The same shape.
 * Refuses: a size that no part has, a horn thicker at its tip, a teardrop shorter than its ball, a coil too
 *          narrow for its clay -> invalid-input
 */
export function checkedShape(shape: PartShape): PartShape {
  for (const [name, size] of sizesOf(shape)) {
    const [least, most] = name.endsWith('Mm') ? PART_SIZES : PART_AMOUNTS;
    if (size >= least && size <= most) continue;
    throw invalidInput(
      `The ${SIZE_WORDS[name]} of ${/^[aeiou]/.test(shape.form) ? 'an' : 'a'} ${shape.form} cannot be ${size}.`,
      `Give a number from ${least} to ${most}.`,
    );
  }
  const wrong = contradictionIn(shape);
  if (wrong !== undefined) throw invalidInput(...wrong);
  return shape;
}

function contradictionIn(shape: PartShape): readonly [string, string] | undefined {
  switch (shape.form) {
    case 'horn':
      return shape.tipMm > shape.rootMm
        ? ['The horn is thicker at its tip than at its root.', 'Give the root first, then the tip.']
        : undefined;
    case 'teardrop':
      return shape.lengthMm < shape.diameterMm
        ? [
            'The teardrop is shorter than its round end is wide.',
            'Measure the whole length, from the round end to the point.',
          ]
        : undefined;
    case 'coil':
      return shape.acrossMm < shape.wireMm
        ? [
            'The coil is too narrow for its clay.',
            'Measure across the coil from the middle of the clay to the middle of the clay.',
          ]
        : undefined;
    default:
      return undefined;
  }
}

/** The shape with its sizes, as `readShape` reads them. */
export function shapeInWords(shape: PartShape): string {
  const sizes = sizesOf(shape).map(([, size]) => size);
  const unit = shape.form === 'amount' ? ' g' : shape.form === 'coil' ? '' : ' mm';
  const feathered = 'edges' in shape && shape.edges === FEATHERED ? `${FEATHERED} ` : '';
  return `${feathered}${shape.form} ${sizes.join(' x ')}${unit}`;
}

/** Names and values of the sizes, in the order in which they are written. */
export function sizesOf(shape: PartShape): readonly (readonly [string, number])[] {
  const values = new Map<string, unknown>(Object.entries(shape));
  return SHAPE_SIZES[shape.form].map((name) => [name, Number(values.get(name))]);
}

/** What is said of a size in a form of the page. */
export function sizeInWords(name: string): string {
  return SIZE_WORDS[name] ?? name;
}
