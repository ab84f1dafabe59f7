import {
  CURVES_TAKEN,
  type CurvesTaken,
  curvesInWords,
} from '../../../domain/share/curves-in-words.ts';
import type { SeenMix } from '../../../domain/share/seen-mix.ts';
import { Sample } from '../../parts/tile.tsx';
import { count } from '../count.ts';

type Result = Readonly<Record<string, unknown>>;

/** The first recipes of somebody else's file, before they are taken in. */
export function SharedMixTiles({ result }: { readonly result: Result }) {
  const some = Array.isArray(result.some) ? (result.some as readonly SeenMix[]) : [];
  if (some.length === 0) return null;
  return (
    <ul className="bench shared-mixes">
      {some.map(({ title, recipe, lab }) => (
        <li key={`${title}: ${recipe}`}>
          <Sample lab={lab} name={title}>
            <span className="small soft">{recipe}</span>
          </Sample>
        </li>
      ))}
    </ul>
  );
}

/** What is in a share file, in a few sentences. */
export function sharedInWords({
  title,
  author,
  licence,
  mixes,
  sameClays,
  newClays,
  curves,
}: Result): string {
  const [same, fresh] = [sameClays, newClays].map((list) => (Array.isArray(list) ? list : []));
  const own = same.length === 0 ? '' : ` You know ${count(same.length, 'clay')} of them.`;
  const others = fresh.length === 0 ? '' : ` ${count(fresh.length, 'clay')} that you do not own.`;
  const clays = CURVES_TAKEN.includes(curves as CurvesTaken)
    ? curvesInWords(curves as CurvesTaken)
    : '';
  const mixesSaid = count(Number(mixes ?? 0), 'recipe');
  if (typeof author !== 'string')
    return `${mixesSaid}, marked as the author's.${own}${others} ${clays}`;
  const says = (licence as { readonly says?: string } | undefined)?.says ?? '';
  return `${String(title)} by ${author}: ${mixesSaid}.${own}${others} ${clays} ${says}`;
}
