import { inARow } from '../../core/in-a-row.ts';
import './no-recipe-close.css';
import { memo, useMemo } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import type { FoundRecipe } from '../../core/find/find-answer.ts';
import type { GapReport } from '../../core/find/gap-report.ts';
import { type Side, sideInWords, verdictWord } from '../../core/verdict/verdict.ts';
import { type VerdictInWords, verdictHead } from '../../core/verdict/verdict-in-words.ts';
import type { OpenClays } from '../book/clays.ts';
import { screenColour } from '../colour/screen-colour.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { reachStrip } from '../gamut/reach-strip.ts';
import { useGamut } from '../gamut/use-gamut.ts';
import { Button } from '../parts/button.tsx';
import { recipeInWords } from '../parts/piece-group.ts';
import { Tile } from '../parts/tile.tsx';
import { type FindRequest, withChange } from './find-request.ts';
import { mayUse } from './question-from-request.ts';
import { insteadInWords, relaxationInWords, relaxed } from './relaxations.ts';
import type { Studio } from './studio.ts';

/** The smallest difference the eye sees, dE00. */
const SEEN = 0.8;
/** More ways on would make it harder to choose. */
const MOST_WAYS = 3;

interface NoRecipeProps {
  readonly clays: OpenClays;
  readonly gapReport: GapReport;
  readonly best: FoundRecipe | undefined;
  readonly aim: Lab;
  readonly request: FindRequest;
  readonly studio: Studio;
  /** The search still runs. */
  readonly looking: boolean;
  readonly onChange: (request: FindRequest) => void;
}

/** Why no recipe is close, as one picture: how far the clays reach towards the colour wanted. */
export const ReachPicture = memo(function ReachPicture({
  clays,
  gapReport,
  aim,
  request,
  studio,
}: NoRecipeProps) {
  const usable = useMemo(() => {
    const without = new Set(request.without);
    return mayUse(request, studio)
      .filter(({ blockId, lineId }) => !without.has(blockId) && inLines(request, lineId))
      .map(({ clay }) => clay);
  }, [request, studio]);
  const points = useGamut(clays, usable);
  const axis = isLightness(gapReport.sides[0]) ? 'lightness' : 'chroma';
  const strip = useMemo(
    () => (points === undefined ? undefined : reachStrip(points, aim, axis, request.tolerance)),
    [points, aim, axis, request.tolerance],
  );
  if (strip === undefined) return null;
  const { steps, wantedAt, endAt } = strip;
  const word = axis === 'lightness' ? 'light' : 'bright';
  const place = (at: number) => ({ left: `${100 * at}%` });
  return (
    <section className="bench across find-reach" aria-label="What is missing">
      <div className="layer">
        <div className="layer-name">
          <strong>What is missing</strong>
          <span className="small">{axis === 'lightness' ? 'dark to light' : 'dull to bright'}</span>
        </div>
        <div
          className="reach-picture"
          role="img"
          aria-label={
            endAt === undefined
              ? 'Your clays do not come close to this colour.'
              : `Your clays reach ${Math.round(100 * endAt)} % of this strip; the colour you want is at ${Math.round(100 * wantedAt)} %.`
          }
        >
          <div className="reach-steps">
            {steps.map(({ lab, reached }, i) => (
              <span
                // biome-ignore lint/suspicious/noArrayIndexKey: places along one strip
                key={i}
                data-reached={reached || undefined}
                style={{ background: screenColour(lab).css }}
              />
            ))}
          </div>
          {endAt === undefined ? null : (
            <span
              className="reach-mark small"
              style={place(endAt)}
              data-side={endAt < 0.5 ? 'beyond' : 'before'}
            >
              your clays reach this {word}
            </span>
          )}
          <span className="reach-mark small" style={place(wantedAt)} data-side="after">
            wanted
          </span>
        </div>
      </div>
    </section>
  );
});

interface Way {
  readonly key: string;
  readonly title: string;
  readonly lab: Lab;
  readonly words: string;
  readonly change?: FindRequest;
}

/** What takes the place of the verdict: that no recipe is close, and in one sentence what is missing. */
export function gapInWords({
  gapReport: { sides, helps, insteads, missing },
  best,
  request: { tolerance },
  looking,
}: Pick<NoRecipeProps, 'gapReport' | 'best' | 'request' | 'looking'>): VerdictInWords {
  const noWay = missing === undefined && helps.length === 0 && insteads.length === 0 && !looking;
  return {
    head: best === undefined ? 'No recipe fits these rules' : 'No recipe is close',
    miss: [
      best === undefined ? '' : `Every mix of your clays comes out ${saidOf(sides)}.`,
      missing === undefined
        ? ''
        : `One ${spokenColour(missing.shown)} clay would make it ${missing.dE00 <= tolerance ? 'a match' : 'closer'}.`,
      !noWay
        ? ''
        : best === undefined
          ? 'Removing any one rule is not enough. Check the rules together.'
          : 'No change of the rules brings it closer.',
    ]
      .filter((sentence) => sentence !== '')
      .join(' '),
  };
}

/** The ways on where no recipe is close. */
export const WaysOn = memo(function WaysOn({
  gapReport: { helps, insteads, missing },
  request,
  studio,
  onChange,
}: NoRecipeProps) {
  const ways: Way[] = [
    ...(missing === undefined
      ? []
      : [
          {
            key: 'missing',
            title: 'Add a clay like this',
            lab: missing.shown,
            words: `None of your ${studio.clays.length} clays is ${article(spokenColour(missing.shown))}.`,
          },
        ]),
    ...helps.slice(0, MOST_WAYS).map((help) => ({
      key: `${help.kind} ${help.of ?? ''}`,
      title: relaxationInWords(help),
      lab: help.shown,
      words: `${verdictHead(verdictWord(help.dE00))}: ${recipeInWords(help.recipe)}`,
      change: relaxed(request, help, studio),
    })),
    ...insteads.slice(0, MOST_WAYS).map((instead) => ({
      key: instead.relax,
      title: insteadInWords(instead),
      lab: instead.shown,
      words: `${recipeInWords(instead.recipe)}: ${saidOf(instead.sides)}`,
      change: withChange(request, { relax: instead.relax }),
    })),
  ];
  if (ways.length === 0) return null;
  return (
    <section className="stack" aria-label="What would help">
      <h2>What would help</h2>
      <ul className="ways-on">
        {ways.map(({ key, title, lab, words, change }) => (
          <li key={key}>
            <Tile lab={lab} name={title} />
            <h3>{title}</h3>
            <p className="small">{words}</p>
            {change === undefined ? null : (
              <Button aria-label={`Try this: ${title}`} onPress={() => onChange(change)}>
                Try this
              </Button>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
});

function isLightness(side: Side | undefined): boolean {
  return side?.word === 'lighter' || side?.word === 'darker';
}

function inLines({ lines }: FindRequest, lineId: string): boolean {
  return lines?.includes(lineId) ?? true;
}

/** "far duller and a little darker" */
function saidOf(sides: readonly Side[]): string {
  const seen = sides.filter(({ size }) => size >= SEEN);
  const words = (seen.length > 0 ? seen : sides.slice(0, 1)).map(sideInWords);
  return words.length === 0 ? 'slightly different' : inARow(words);
}

function article(words: string): string {
  return `${/^[aeiou]/i.test(words) ? 'an' : 'a'} ${words}`;
}
