import type { ClayFile } from '../domain/clay-file.ts';
import { counted, fixed } from './terminal-output.ts';

type Report = ClayFile['report'];

/** How far off tiles are predicted from all the others: one line, or one for each sort of tile. */
export function errorLines({ apart }: Report): string[] {
  const [first] = apart;
  if (apart.length === 1 && first.of === 'measured') {
    return [`  Each tile predicted from all the others: ${said(first)}.`];
  }
  return [
    '  Each tile predicted from all the others:',
    ...apart.map((sort) => `    ${sort.of}: ${said(sort)} (${counted(sort.readings, 'reading')})`),
  ];
}

function said({ meanDE00, medianDE00, worstDE00 }: Report['apart'][number]): string {
  return `${fixed(meanDE00, 1)} dE00 off on average, half of them within ${fixed(medianDE00, 1)}, ${fixed(worstDE00, 1)} at worst`;
}

/** "opaque", or "opaque, pearl" of a special clay. */
export function kindOfClay(clay: Pick<Report['clays'][number], 'clayClass' | 'effect'>): string {
  const { clayClass, effect } = clay;
  return effect === undefined ? clayClass : `${clayClass}, ${effect}`;
}
