/**
 * The one safety text: what can hurt somebody at this work. The same words are in the README, and the page and
 * the command line show them wherever heat, dust, powders or strength are spoken of.
 * Source: common practice, no source; the maker's label and local rules come first
 */
export const LABEL_FIRST =
  "The maker's label always comes first, before anything that Kneadwell says.";

/** The part of the heat that people forget. */
export const THERMOMETER =
  'Put a thermometer in the oven at the height of the clay: oven dials are often wrong by 20 to 30 degrees.';

const TEXTS = {
  heat: {
    title: 'Heat and fumes',
    text: `Polymer clay gives off harmful fumes when it gets too hot. ${THERMOMETER} Bake as hot and as long as the label says, never hotter. Air the room. If the clay smokes: turn the oven off, keep the door shut, open the windows, leave the room. An adult runs the oven.`,
  },
  blades: {
    title: 'Blades',
    text: 'Clay blades are very sharp, and it is easy to hold one the wrong way round. Check which edge is sharp, cut away from yourself, and store blades covered.',
  },
  dust: {
    title: 'Dust',
    text: 'Do not breathe in mica, pigment and chalk powders, glitter, or the dust of sanding. Wear a dust mask that fits, keep draughts away, sand wet, and wipe up with a damp cloth.',
  },
  food: {
    title: 'Food',
    text: 'Never use tools, rollers or trays for food again after they touched clay. Wash your hands after work.',
  },
  children: {
    title: 'Children, toys and skin',
    text: 'Nothing that Kneadwell says about a mix means that it is safe as a toy, for food, or on the skin. Thin parts break off and can be swallowed: keep figures, raw clay, powders and blades away from small children and animals.',
  },
  rules: {
    title: 'Local rules',
    text: 'If you sell or give away what you make, check the rules of your country, for example for toys and jewellery.',
  },
} as const;

/** What is spoken of, with the cautions that belong to it, the most important first. */
const BELONG = {
  heat: ['heat', 'food', 'children'],
  powder: ['dust', 'children'],
  strength: ['children', 'blades', 'rules'],
} as const satisfies Readonly<Record<string, readonly (keyof typeof TEXTS)[]>>;
export type CautionTopic = keyof typeof BELONG;

export interface Caution {
  readonly title: string;
  readonly text: string;
}

/** All cautions, in the order of the README. */
export const CAUTIONS: readonly Caution[] = Object.values(TEXTS);

export function cautionsFor(topic: CautionTopic): readonly Caution[] {
  return BELONG[topic].map((key) => TEXTS[key]);
}
