import type { ClayClass } from '../core/clay/clay-class.ts';
import type { Effect } from '../core/clay/effect-offset.ts';
import type { Viewing } from '../core/colour/adaptation.ts';
import { colourName } from '../core/colour/colour-name.ts';
import { munsellFromLab } from '../core/colour/munsell.ts';
import { formatMunsell } from '../core/colour/munsell-notation.ts';
import type { Lab } from '../core/colour/triples.ts';
import { predictViewed } from '../core/find/predicted-mix.ts';
import type { ClayFile } from '../domain/clay-file.ts';
import type { ReadingKind } from '../domain/reading-kind.ts';
import { type KindCounts, knownFrom } from '../domain/readings-by-kind.ts';
import { openClay } from './open-clay.ts';
import type { Ports } from './ports.ts';

export interface InspectCall {
  readonly clay: string;
  readonly viewing: Viewing;
}

export interface InspectedClay {
  readonly name: string;
  readonly clayClass: ClayClass;
  readonly group: number;
  readonly tiles: number;
  readonly ownTiles: number;
  /** Readings of each kind that hold it, and the surest of these kinds. */
  readonly readings: KindCounts;
  readonly knownFrom: ReadingKind;
  readonly effect?: Effect;
  /** Of the clay alone. */
  readonly lab: Lab;
  /** Size of the ± of the clay alone, dE00. */
  readonly plusMinus: number;
  /** Mean ± of ordinary mixes that hold it, dE00. */
  readonly expectedDE: number;
  readonly colourName: string;
  readonly munsell: string;
  /** False where the notation is only the nearest the renotation holds. */
  readonly munsellHeld: boolean;
  /** D50 and 2 degree, for showing it. */
  readonly shown: Lab;
}

export interface Inspected {
  readonly file: ClayFile;
  readonly viewing: Viewing;
  readonly clays: readonly InspectedClay[];
}

/** What a clay file knows: its clays, how surely, and what its tiles say against each other. */
export async function inspect(ports: Ports, call: InspectCall): Promise<Inspected> {
  const clay = await openClay(ports, call.clay);
  const sure = new Map(clay.file.report.clays.map((p) => [p.name, p.expectedDE]));
  const clays = clay.file.clays.map((own, i): InspectedClay => {
    const { lab, plusMinus, shown } = predictViewed(
      clay.predictor,
      [{ clay: i, share: 1 }],
      call.viewing,
    );
    const munsell = munsellFromLab(shown);
    const { name, clayClass, group, tiles, ownTiles, readings, effect } = own;
    return {
      name,
      clayClass,
      group,
      tiles,
      ownTiles,
      readings,
      knownFrom: knownFrom(readings),
      ...(effect === undefined ? {} : { effect: effect.effect }),
      lab,
      plusMinus,
      expectedDE: sure.get(name) ?? plusMinus,
      colourName: colourName(shown).name,
      munsell: formatMunsell(munsell.held ? munsell.colour : munsell.nearest),
      munsellHeld: munsell.held,
      shown,
    };
  });
  return { file: clay.file, viewing: call.viewing, clays };
}
