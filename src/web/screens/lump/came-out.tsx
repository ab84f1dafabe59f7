import { useNavigate } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import type { Lab } from '../../../core/colour/triples.ts';
import { change } from '../../../domain/changes/steps.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { sendChange, wordsOf } from '../../book/change.ts';
import { titleOfMix } from '../../book/names.ts';
import { showNotice } from '../../book/notice.ts';
import { Tile } from '../../parts/tile.tsx';
import '../../look/lump.css';

/** What may follow a lump that is mixed: saved as right, mended, three test balls, or read from a photo. */
export type AfterMixing = 'right' | 'mend' | 'try' | 'photo';

/** "How did it come out?": the four ways on from a lump that is mixed. */
export function CameOut({
  mix,
  wanted,
}: {
  readonly mix: RecordOf<'mix'>;
  /** The colour the lump is held to. */
  readonly wanted: Lab | undefined;
}) {
  const goOn = useAfterMixing();
  return <CameOutWays wanted={wanted} onChoose={(way) => void goOn(mix, way)} />;
}

/** Leads on from a lump of a saved mix. */
export function useAfterMixing() {
  const navigate = useNavigate();
  return async (mix: RecordOf<'mix'>, way: AfterMixing): Promise<void> => {
    if (way === 'photo') return navigate({ to: '/tiles/photo' });
    if (way !== 'right') return navigate({ to: `/${way}`, search: { mix: mix.id } });
    try {
      if (mix.body.status !== 'saved') {
        await sendChange(`${titleOfMix(mix)} came out right`, [
          change(mix, { ...mix.body, status: 'saved' }),
        ]);
      }
      await navigate({ to: '/book/$id', params: { id: mix.id }, search: { tile: 'new' } });
    } catch (fault) {
      showNotice({ text: wordsOf(fault) });
    }
  };
}

/** The four ways as pictures with their words. */
export function CameOutWays({
  wanted,
  onChoose,
}: {
  readonly wanted: Lab | undefined;
  readonly onChoose: (way: AfterMixing) => void;
}) {
  return (
    <div className="came-out">
      <Way
        onChoose={onChoose}
        way="right"
        head="Right"
        says="Save it as it is, and bake a tile of it."
      >
        <span className="came-picture touching">
          <Tile lab={wanted} name="Wanted" />
        </span>
      </Way>
      <Way
        onChoose={onChoose}
        way="mend"
        head="Not quite"
        says="Say how it looks, and see what to add."
      >
        <span className="came-picture touching">
          <Tile lab={wanted} name="Wanted" />
          <Tile lab={wanted === undefined ? undefined : duller(wanted)} name="The lump" />
        </span>
      </Way>
      <Way onChoose={onChoose} way="try" head="Not sure" says="Roll three test balls and choose.">
        <span className="came-picture bench" data-balls>
          {[-8, 0, 8].map((step) => (
            <span key={step} className="round touching">
              <Tile
                lab={wanted === undefined ? undefined : [wanted[0] + step, wanted[1], wanted[2]]}
                name="A test ball"
              />
            </span>
          ))}
        </span>
      </Way>
      <Way
        onChoose={onChoose}
        way="photo"
        head="Use a photo"
        says="Bake a tile of it, and read the tile from a photo."
      >
        <span className="came-picture bench">
          <span className="print touching">
            <Tile lab={wanted} name="A tile in a photo" />
          </span>
        </span>
      </Way>
    </div>
  );
}

function Way({
  way,
  head,
  says,
  onChoose,
  children,
}: {
  readonly way: AfterMixing;
  readonly head: string;
  readonly says: string;
  readonly onChoose: (way: AfterMixing) => void;
  readonly children: ReactNode;
}) {
  return (
    <button type="button" className="came-way" onClick={() => onChoose(way)}>
      {children}
      <span className="came-words">
        <span className="serif came-head">{head}</span>
        <span className="small soft">{says}</span>
      </span>
    </button>
  );
}

/** A lump that came out duller, for the picture alone. */
function duller([l, a, b]: Lab): Lab {
  return [l - 2, a * 0.7, b * 0.7];
}
