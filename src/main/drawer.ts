import type { Drawer } from '../book/share/drawer.ts';
import type { FaceFiles } from '../formats/drawing/faces.ts';
import { fontFile } from './fonts.ts';

/** Further letters, in the order they are looked for. */
const SERIF_SETS = ['latin', 'latin-ext', 'cyrillic', 'greek', 'vietnamese'];
const SANS_SETS = ['latin', 'latin-ext'];

let made: Promise<Drawer> | undefined;

/** What draws cards and sheets; fonts and engines are loaded when first asked for. */
export function drawer(): Promise<Drawer> {
  made ??= open();
  return made;
}

async function open(): Promise<Drawer> {
  const [{ openFaces }, { drawerOfFaces }, { pngOfSvg }, { sharedPhoto }] = await Promise.all([
    import('../formats/drawing/faces.ts'),
    import('../formats/drawing/drawer-of-faces.ts'),
    import('../imaging/png-of-svg.ts'),
    import('../imaging/shared-photo.ts'),
  ]);
  return drawerOfFaces(openFaces(faceFiles()), pngOfSvg, sharedPhoto);
}

function faceFiles(): FaceFiles {
  const serif = (weight: number) => SERIF_SETS.map((set) => fontFile('vollkorn', set, weight));
  // The sans has no Greek or Cyrillic letters; the serif's stand in.
  const sans = (weight: number) => [
    ...SANS_SETS.map((set) => fontFile('atkinson-hyperlegible-next', set, weight)),
    ...serif(weight === 700 ? 600 : 400).slice(2),
  ];
  return { serif: serif(600), digits: serif(400), sans: sans(400), bold: sans(700) };
}
