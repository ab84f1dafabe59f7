import type { Lab } from '../../../core/colour/triples.ts';
import { type BakedForecast, bakedFromRaw } from '../../../core/verdict/baked-from-raw.ts';
import { type ReadingKind, spreadOfKind } from '../../../domain/records/reading-kind.ts';
import { AimPicker } from '../../aims/aim-picker.tsx';
import { spokenColour } from '../../colour/spoken-colour.ts';
import { Choice } from '../../parts/choice.tsx';
import { Pick } from '../../parts/field.tsx';
import { count } from '../count.ts';
import { useRawBakedPairs } from '../stock/raw-baked-pairs.ts';

type LooksKind = Extract<ReadingKind, 'by eye' | 'rough' | 'measured'>;

/** How a lump looks, as the user said. */
export interface Looks {
  readonly lab: Lab;
  readonly readingKind: LooksKind;
  readonly state: 'raw' | 'baked';
}

/** Chooses the colour of a lump: by eye, from a picture or by numbers, raw or baked. */
export function LooksPicker({
  looks,
  start,
  onLooks,
  thing = 'lump',
}: {
  readonly looks: Looks | undefined;
  /** Where choosing by eye starts: the colour that was to be expected. */
  readonly start: Lab | undefined;
  readonly onLooks: (looks: Looks | undefined) => void;
  /** What is looked at. */
  readonly thing?: 'lump' | 'tile';
}) {
  const tiles = useBakedTiles();
  const { readingKind, state } = looks ?? {
    readingKind: 'by eye' as const,
    state: 'baked' as const,
  };
  const change = (part: Partial<Looks>) => {
    const lab = looks?.lab ?? start;
    if (lab !== undefined) onLooks({ lab, readingKind, state, ...part });
  };
  return (
    <div className="stack">
      <Choice
        label={`State of the ${thing}`}
        value={state}
        onChange={(next) => change({ state: next })}
        options={[
          ['baked', thing === 'lump' ? 'A baked chip of it' : 'Baked'],
          ['raw', 'Raw'],
        ]}
      />
      {state === 'baked' ? null : (
        <p className="small">
          {tiles.length === 0
            ? `Nothing is known of how baking changes your clays, so a raw colour says little. Bake a small ${thing === 'lump' ? 'chip of the lump' : 'tile of it'} if you can.`
            : `What baking does to this colour is worked out from ${count(tiles.length, 'tile')} that you read raw and baked.`}
        </p>
      )}
      <Pick<LooksKind>
        label="Colour source"
        value={readingKind}
        onChange={(next) => change({ readingKind: next })}
        options={[
          ['by eye', `chosen by eye beside the ${thing}`],
          ['rough', 'tapped in a photo'],
          ['measured', 'measured with an instrument or a chart photo'],
        ]}
      />
      <AimPicker
        aim={looks === undefined ? undefined : { lab: looks.lab, words: spokenColour(looks.lab) }}
        onAim={({ lab }) => change({ lab })}
        {...(start === undefined ? {} : { start })}
      />
    </div>
  );
}

/** What a lump that looks so is, once baked, with how far that may be off. */
export function useBakedLooks(looks: Looks | undefined): BakedForecast | undefined {
  const tiles = useBakedTiles();
  if (looks === undefined) return undefined;
  const spread = spreadOfKind(looks.readingKind);
  return looks.state === 'baked'
    ? { lab: looks.lab, spread }
    : bakedFromRaw(looks.lab, spread, tiles);
}

/** All tiles read raw and baked, of every line. */
function useBakedTiles() {
  return [...useRawBakedPairs().values()].flat();
}
