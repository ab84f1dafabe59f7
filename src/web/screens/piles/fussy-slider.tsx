import { FIND_LIMITS } from '../../../core/find/find-limits.ts';
import { verdictWord } from '../../../core/verdict/verdict.ts';
import { verdictHead } from '../../../core/verdict/verdict-in-words.ts';
import type { PilesPoint } from '../../../verbs/buy-or-mix-question.ts';
import { count } from '../count.ts';

/** Every closeness at which the piles change, from the same colour to the same family. */
export function FussySlider({
  points,
  tolerance,
  onChange,
}: {
  readonly points: readonly PilesPoint[];
  readonly tolerance: number;
  readonly onChange: (tolerance: number) => void;
}) {
  if (points.length < 2) return null;
  const stops = points.toSorted((one, other) => one.from - other.from);
  const at = Math.max(
    0,
    stops.findLastIndex(({ from }) => from <= tolerance),
  );
  const says = stopInWords(stops[at]);
  return (
    <div className="fussy-slider">
      <input
        type="range"
        aria-label="How fussy you are"
        aria-valuetext={says}
        min={0}
        max={stops.length - 1}
        step={1}
        value={at}
        onChange={({ target }) =>
          // Where nothing is mixed, a stop is at 0, which is no closeness to ask for.
          onChange(Math.max(stops[target.valueAsNumber].from, FIND_LIMITS.tolerance[0]))
        }
      />
      <p className="small">{says}</p>
    </div>
  );
}

/** "Buy 12 blocks: the worst mix is close". */
function stopInWords({ buy, mix, from }: PilesPoint): string {
  const bought = `Buy ${count(buy.length, 'block')}`;
  return mix.length === 0
    ? bought
    : `${bought}: the worst mix is ${verdictHead(verdictWord(from)).toLowerCase()}`;
}
