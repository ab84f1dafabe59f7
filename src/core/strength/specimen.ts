import { invalidInput } from '../errors.ts';

/** Shapes that are bent in tests, and thin parts of figures; all sizes in mm. */
export type Specimen =
  | { readonly form: 'rod'; readonly diameterMm: number; readonly lengthMm: number }
  | {
      readonly form: 'strip' | 'petal' | 'pointed petal';
      readonly thicknessMm: number;
      readonly widthMm: number;
      readonly lengthMm: number;
    }
  | { readonly form: 'ring'; readonly thicknessMm: number; readonly lengthMm: number }
  | {
      readonly form: 'coil';
      readonly wireMm: number;
      /** Across the coil, from the middle of the clay to the middle of the clay. */
      readonly acrossMm: number;
      readonly turns: number;
    }
  | {
      readonly form: 'tip';
      readonly rootMm: number;
      readonly tipMm: number;
      readonly lengthMm: number;
    };
export type SpecimenForm = Specimen['form'];

/** Sizes of each form in the order in which they are written. */
export const SIZES = {
  rod: ['diameterMm', 'lengthMm'],
  strip: ['thicknessMm', 'widthMm', 'lengthMm'],
  petal: ['thicknessMm', 'widthMm', 'lengthMm'],
  'pointed petal': ['thicknessMm', 'widthMm', 'lengthMm'],
  ring: ['thicknessMm', 'lengthMm'],
  coil: ['wireMm', 'acrossMm', 'turns'],
  tip: ['rootMm', 'tipMm', 'lengthMm'],
} as const satisfies Readonly<Record<SpecimenForm, readonly string[]>>;
export const FORMS = Object.keys(SIZES) as SpecimenForm[];

/** Sizes a part of a figure may have, mm; wider than any, so that only slips are refused. */
export const SIZE_RANGE = [0.05, 1000] as const;

const SIZE_WORDS: Readonly<Record<string, string>> = {
  diameterMm: 'diameter',
  lengthMm: 'length',
  thicknessMm: 'thickness',
  widthMm: 'width',
  wireMm: 'thickness of the clay',
  acrossMm: 'width of the coil',
  turns: 'turns',
  rootMm: 'diameter at the root',
  tipMm: 'diameter at the tip',
};

/**
 * A specimen as people write it: "petal 1.2 x 10 x 20 mm", "rod 3 x 60".
 * Units:   mm, except the turns of a coil
 * Refuses: an unknown form, too few or too many sizes, a size outside `SIZE_RANGE` -> invalid-input
 * Holds:   `specimenInWords` of the result reads back as the same specimen
 */
export function readSpecimen(text: string): Specimen {
  const found = /^\s*([a-z ]+?)\s*([\d.,].*?)\s*(?:mm)?\s*$/i.exec(text);
  const form = FORMS.find((one) => one === found?.[1].toLowerCase().replace(/\s+/g, ' '));
  if (found === null || form === undefined) {
    throw invalidInput(
      `"${text.slice(0, 60)}" is not a shape with sizes.`,
      `Write a shape and its sizes, for example "petal 1.2 x 10 x 20 mm". Shapes: ${FORMS.join(', ')}.`,
    );
  }
  const names = SIZES[form];
  const sizes = found[2]
    .split(/\s*(?:mm)?\s*[x×*]\s*/i)
    .map((one) => Number(one.replace(',', '.')));
  if (sizes.length !== names.length || !sizes.every(Number.isFinite)) {
    throw invalidInput(
      `A ${form} has ${names.length} sizes, and "${found[2].slice(0, 40)}" does not give them.`,
      `Write them in this order: ${names.map((one) => SIZE_WORDS[one]).join(' x ')}.`,
    );
  }
  const specimen = { form, ...Object.fromEntries(names.map((one, i) => [one, sizes[i]])) };
  return checkedSpecimen(specimen as Specimen);
}

/** The same specimen. Refuses: a size outside `SIZE_RANGE`, a tip thicker than its root */
export function checkedSpecimen(specimen: Specimen): Specimen {
  const sizes = sizesOf(specimen);
  for (const [i, size] of sizes.entries()) {
    if (size >= SIZE_RANGE[0] && size <= SIZE_RANGE[1]) continue;
    throw invalidInput(
      `The ${SIZE_WORDS[SIZES[specimen.form][i]]} of a ${specimen.form} cannot be ${size}.`,
      `Give sizes from ${SIZE_RANGE[0]} to ${SIZE_RANGE[1]} mm.`,
    );
  }
  if (specimen.form === 'tip' && specimen.tipMm > specimen.rootMm) {
    throw invalidInput('The tip is thicker than its root.', 'Give the root first, then the tip.');
  }
  if (specimen.form === 'coil' && specimen.acrossMm < 1.5 * specimen.wireMm) {
    throw invalidInput(
      'The coil is too narrow for its clay.',
      'Measure across the coil from the middle of the clay to the middle of the clay.',
    );
  }
  return specimen;
}

export function specimenInWords(specimen: Specimen): string {
  const sizes = sizesOf(specimen).join(' x ');
  return `${specimen.form} ${sizes}${specimen.form === 'coil' ? '' : ' mm'}`;
}

/** Thickness that bends, mm. */
export function thinnestMm(specimen: Specimen): number {
  switch (specimen.form) {
    case 'rod':
      return specimen.diameterMm;
    case 'coil':
      return specimen.wireMm;
    case 'tip':
      return specimen.tipMm;
    default:
      return specimen.thicknessMm;
  }
}

function sizesOf(specimen: Specimen): readonly number[] {
  const values = specimen as unknown as Readonly<Record<string, number>>;
  return SIZES[specimen.form].map((name) => values[name]);
}
