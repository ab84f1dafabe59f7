import { Link, useNavigate } from '@tanstack/react-router';
import type { Lab } from '../../../core/colour/triples.ts';
import { change } from '../../../domain/changes/steps.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { sendChange, wordsOf } from '../../book/change.ts';
import { titleOfMix } from '../../book/names.ts';
import { showNotice } from '../../book/notice.ts';
import { Tile } from '../../parts/tile.tsx';
import '../../look/lump.css';

/** "How did it come out?": the four ways on from a lump that is mixed. */
export function CameOut({
  mix,
  wanted,
}: {
  readonly mix: RecordOf<'mix'>;
  /** The colour the lump is held to. */
  readonly wanted: Lab | undefined;
}) {
  const navigate = useNavigate();
  const title = titleOfMix(mix);
  const right = async () => {
    try {
      if (mix.body.status !== 'saved') {
        await sendChange(`${title} came out right`, [
          change(mix, { ...mix.body, status: 'saved' }),
        ]);
      }
      await navigate({ to: '/book/$id', params: { id: mix.id }, search: { tile: 'new' } });
    } catch (fault) {
      showNotice({ text: wordsOf(fault) });
    }
  };
  return (
    <div className="came-out">
      <button type="button" className="came-way" onClick={() => void right()}>
        <span className="came-picture touching">
          <Tile lab={wanted} name="Wanted" />
        </span>
        <Words head="Right" says="Save it as it is, and bake a tile of it." />
      </button>
      <Link className="came-way" to="/mend" search={{ mix: mix.id }}>
        <span className="came-picture touching">
          <Tile lab={wanted} name="Wanted" />
          <Tile lab={wanted === undefined ? undefined : duller(wanted)} name="The lump" />
        </span>
        <Words head="Not quite" says="Say how it looks, and see what to add." />
      </Link>
      <Link className="came-way" to="/try" search={{ mix: mix.id }}>
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
        <Words head="Not sure" says="Roll three test balls and choose." />
      </Link>
      <Link className="came-way" to="/tiles/photo">
        <span className="came-picture bench">
          <span className="print touching">
            <Tile lab={wanted} name="A tile in a photo" />
          </span>
        </span>
        <Words head="Use a photo" says="Bake a tile of it, and read the tile from a photo." />
      </Link>
    </div>
  );
}

function Words({ head, says }: { readonly head: string; readonly says: string }) {
  return (
    <span className="came-words">
      <span className="serif came-head">{head}</span>
      <span className="small soft">{says}</span>
    </span>
  );
}

/** A lump that came out duller, for the picture alone. */
function duller([l, a, b]: Lab): Lab {
  return [l - 2, a * 0.7, b * 0.7];
}
