/**
 * The user's verdict by eye as data: how close do three trials of three test balls come to the aim?
 * Each simulated sculptor has white, black and four other real paints; these four, and paints of
 * the same name in the other collection, are not in the prior. The aim can be made: half of the aims are
 * whole parts of the sculptor's clays, half any shares. Test balls are cut by hand, 3 % off a part;
 * combinations depart from simple addition by 4 %.
 * Starts:  rough, colours tapped in one picture: of each block alone, and of the aim, each about 6 units off,
 *          half of the blocks' variance shared by the picture; photo, blocks read in one photo with a chart,
 *          0.7 off an axis and 0.8 shared, the aim in another; names, each block known by the name of its
 *          colour alone, the aim tapped.
 * Eyes:    the simulated eye differs from the one by which verdicts are weighed. Its noise and thresholds are
 *          drawn around the published ones (a factor of e^0.35), it stretches lightness, chroma and hue its
 *          own way (e^0.25), it errs by a tenth of what it sees, slips once in 25 looks, names at most two
 *          sides and a fifth of them not at all, and draws its own lines between slightly, clearly and far
 *          (around 3 and 5, a factor of e^0.35). A heavy eye has noise with a long tail (Student's t of three
 *          degrees); a biased one sees every ball off by 1.5 units, always to the same side.
 * Scored:  dE00 between the true colour of the recommended recipe (parts cut exactly) and the true
 *          aim; the chance of a match as stated against the share that is one, of all trials; trials, balls
 *          and pieces until the program says to keep the recipe, minutes at two a ball to cut, roll and judge.
 * Rivals:  balls drawn at random among the recipes worth a look; the test ball called closest in the last
 *          trial, and no model; verdicts without words; the aim moved and the clays left as learned; nothing
 *          assumed of whether the aim can be made; the first recipe of the plain search.
 * Run:     npx tsx bench/by-eye.ts [--sculptors 300] [--rivals 40] [--start rough|photo|names]
 *          [--eye usual|heavy|biased] [--rough 6] [--of colour|axis] [--from 0]
 *          --of axis: the error is meant for each of L, a, b, and not for the length of all three
 *          --from: the first sculptor; constants were chosen with sculptors from 5000 on
 */
import { parseArgs } from 'node:util';
import { modelFromFit } from '../src/core/clay/clay-model.ts';
import { fitClays } from '../src/core/clay/fit.ts';
import { openModel } from '../src/core/clay/predict.ts';
import { colourName } from '../src/core/colour/colour-name.ts';
import { colourOfName } from '../src/core/colour/colour-of-name.ts';
import { deltaE2000 } from '../src/core/colour/difference.ts';
import type { Lab } from '../src/core/colour/triples.ts';
import { colourWeights } from '../src/core/colour/weights.ts';
import type { WholeParts } from '../src/core/mixes/whole-parts.ts';
import { startSearch } from '../src/core/search/search.ts';
import { startTrial, type TrialOptions, takeVerdict } from '../src/core/trial/by-eye.ts';
import {
  bestRecipe,
  expectedErrorOf,
  proposeBalls,
} from '../src/core/trial/by-eye-expected-error.ts';
import type { EyeGrade, EyeVerdict, EyeWord } from '../src/core/trial/by-eye-observer.ts';
import { MATCH, sidesOf } from '../src/core/verdict/verdict.ts';
import { trueLab } from './left-out-paints.ts';
import { paintStudio } from './paint-studio.ts';
import { bootstrap, mean, quantile, type Random, randomFrom } from './random.ts';

const weights = colourWeights('D50', 2);
const TRUTH = { parts: 0.03, departure: 0.04 };
const TRIALS = 3;
const BOUNDS = { mostClays: 4, parts: 10 } as const;

const WAYS = [
  'verdicts',
  'random balls',
  'closest ball',
  'no grades',
  'no words',
  'aim moved only',
  'any aim',
  'first recipe',
] as const;
type Way = (typeof WAYS)[number];
const RIVALS = ['random balls', 'no grades', 'no words', 'aim moved only', 'any aim'] as const;

const STARTS = ['rough', 'photo', 'names'] as const;
type Start = (typeof STARTS)[number];
const EYES = ['usual', 'heavy', 'biased'] as const;
type EyeKind = (typeof EYES)[number];
/** Of a colour read in a photo with a chart: each reading, and what its photo shares, CIELAB units an axis. */
const PHOTO = { own: 0.7, shared: 0.8 };
/** How far a biased eye sees every ball off, dE00. */
const BIAS = 1.5;
/** To cut, roll and judge one ball. Judgement. */
const MINUTES_A_BALL = 2;

/** dE00 after trial 0, 1, 2, 3. */
type Course = readonly number[];

interface Sculptor {
  readonly predictor: ReturnType<typeof openModel>;
  readonly aim: Lab;
  readonly aimRead: Lab;
  readonly spread: number;
  /** True colour of a recipe; with a Random, the error of the hand is added. */
  readonly colour: (recipe: WholeParts, hand?: Random) => Lab;
  readonly look: (
    balls: readonly Lab[],
    random: Random,
  ) => Required<Pick<EyeVerdict, 'how' | 'much'>> & { readonly nearest: number };
}

export function sculptor(
  index: number,
  rough: number,
  start: Start = 'rough',
  kind: EyeKind = 'usual',
): Sculptor {
  const random = randomFrom(1000 + index);
  const { white, black, others, prior } = paintStudio(index, 4, random);
  const clays = [white, black, ...others];
  const photo = start === 'photo';
  const spread = photo ? Math.hypot(PHOTO.own, PHOTO.shared) : rough;
  const own = photo ? PHOTO.own : rough * Math.SQRT1_2;
  const shared = photo ? PHOTO.shared : rough * Math.SQRT1_2;
  const picture = [0, 1, 2].map(() => shared * random.normal());
  const within = (lab: readonly number[]): Lab => [
    Math.min(100, Math.max(0, lab[0])),
    lab[1],
    lab[2],
  ];
  const known = (truth: Lab) => {
    const named = start === 'names' ? colourOfName(colourName(truth).name) : undefined;
    if (named !== undefined) return named;
    return { lab: within(truth.map((v, k) => v + picture[k] + own * random.normal())), spread };
  };
  const fit = fitClays(
    clays.map((p) => {
      const { lab, spread } = known(trueLab([[p, 1]]));
      return {
        tile: p.name,
        parts: [{ clay: p.name, share: 1 }],
        colour: { kind: 'lab', lab, light: 'D50', observer: 2 },
        spread: photo ? PHOTO.own : spread,
        geometry: 'included',
        partsSpread: 0,
        photo: 'window',
      };
    }),
    prior,
  );
  const model = modelFromFit(fit);
  const clayOf = model.clays.map(({ name }) => clays.find((p) => p.name === name)!);
  const departures = new Map<string, number[]>();
  const colour = (recipe: WholeParts, hand?: Random): Lab => {
    if (recipe.length === 1) return trueLab([[clayOf[recipe[0].clay], 1]]);
    const key = recipe
      .map(({ clay }) => clay)
      .sort((a, b) => a - b)
      .join('+');
    let departure = departures.get(key);
    if (departure === undefined) {
      departure = clayOf.map(() => TRUTH.departure * random.normal());
      departures.set(key, departure);
    }
    const known = departure;
    return trueLab(
      recipe.map(({ clay, parts }) => {
        const off = known[clay] + (hand === undefined ? 0 : TRUTH.parts * hand.normal());
        return [clayOf[clay], parts * Math.exp(off)] as const;
      }),
    );
  };
  const members = clayOf.map((_, i) => i);
  const count = random.whole(2, 4);
  const chosen = Array.from(
    { length: count },
    () => members.splice(random.whole(0, members.length - 1), 1)[0],
  );
  const aim = colour(
    chosen.map((clay) => ({
      clay,
      parts: index % 4 < 2 ? random.whole(1, 4) : -Math.log(1 - random.uniform()),
    })),
  );
  const aimRead = within(aim.map((v) => v + spread * random.normal()));
  return {
    predictor: openModel(model),
    aim,
    aimRead,
    spread,
    colour,
    look: eye(random, aim, kind),
  };
}

/** One pair of eyes; see the head of this file. */
function eye(random: Random, original: Lab, kind: EyeKind): Sculptor['look'] {
  const own = (size: number) => Math.exp(size * random.normal());
  const acuity = own(0.35);
  const [noise, seen, limit] = [0.6 * acuity, 0.8 * acuity, 1.19 * acuity];
  const [clearly, far] = [3 * own(0.35), 5 * own(0.35)];
  const [stretchL, stretchC, stretchH] = [own(0.25), own(0.25), own(0.25)];
  const side = [random.normal(), random.normal(), random.normal()];
  const bias = side.map((v) => (kind === 'biased' ? (BIAS * v) / Math.hypot(...side) : 0));
  /** Of unit spread; of a heavy eye Student's t of three degrees, as wide in its middle half. */
  const look = (chance: Random) => {
    const z = chance.normal();
    if (kind !== 'heavy') return z;
    const squares = [0, 1, 2].reduce((sum) => sum + chance.normal() ** 2, 0);
    return (0.88 * z) / Math.sqrt(squares / 3);
  };
  const chroma = Math.hypot(original[1], original[2]);
  const [ca, cb] = chroma > 0 ? [original[1] / chroma, original[2] / chroma] : [1, 0];
  return (balls, chance) => {
    const perceived = balls.map((ball): Lab => {
      const [dL, da, db] = ball.map((v, k) => v - original[k]);
      const errs = () => 1 + 0.1 * chance.normal();
      const l = dL * stretchL * errs() + noise * look(chance) + bias[0];
      const along =
        (da * ca + db * cb) * stretchC * errs() +
        (1 + 0.045 * chroma) * (noise * look(chance) + bias[1]);
      const across =
        (db * ca - da * cb) * stretchH * errs() +
        (1 + 0.015 * chroma) * (noise * look(chance) + bias[2]);
      return [
        original[0] + l,
        original[1] + along * ca - across * cb,
        original[2] + along * cb + across * ca,
      ];
    });
    const apart = perceived.map((lab) => deltaE2000(original, lab));
    let nearest = apart.indexOf(Math.min(...apart));
    if (chance.uniform() < 0.04) nearest = chance.whole(0, balls.length - 1);
    if (apart[nearest] < limit) return { nearest, how: ['same'], much: {} };
    const sides = sidesOf(original, perceived[nearest])
      .filter(({ size }) => size > seen)
      .slice(0, 2)
      .filter(() => chance.uniform() < 0.8);
    const gradeOf = (size: number): EyeGrade =>
      size < clearly ? 'slightly' : size < far ? 'clearly' : 'far';
    return {
      nearest,
      how: sides.map(({ word }) => word as EyeWord),
      much: Object.fromEntries(sides.map(({ word, size }) => [word, gradeOf(size)])),
    };
  };
}

/**
 * The results of a sculptor who weighs verdicts, and of one who uses the closest test ball of the
 * last trial.
 */
function trialCourse(
  who: Sculptor,
  way: 'verdicts' | 'random balls' | 'no grades' | 'no words' | 'aim moved only' | 'any aim',
  seed: number,
  draws: number,
) {
  const random = randomFrom(seed);
  const options: TrialOptions = {
    ...BOUNDS,
    weights,
    geometry: 'included',
    partsSpread: TRUTH.parts,
    draws,
    learnsClays: way !== 'aim moved only',
    canBeMade: way !== 'any aim',
  };
  const v = who.spread ** 2;
  const rough = { lab: who.aimRead, covariance: [v, 0, 0, 0, v, 0, 0, 0, v] };
  let trial = startTrial(who.predictor, rough, options, random);
  let evaluated = expectedErrorOf(trial, random);
  const error = (recipe: WholeParts) => deltaE2000(who.colour(recipe), who.aim);
  const believed: Believed[] = [];
  const believe = () => {
    const { recipe, expected, chanceOfMatch } = bestRecipe(evaluated);
    believed.push({ off: error(recipe), expected, chance: chanceOfMatch });
  };
  believe();
  const closestBall = [believed[0].off];
  let kept: number | undefined;
  let pieces = 0;
  for (let t = 0; t < TRIALS; t++) {
    const balls =
      way === 'random balls' ? anyBalls(evaluated.recipes, random) : proposeBalls(evaluated);
    const colours = balls.map((ball) => who.colour(ball, random));
    const { nearest, how, much } = who.look(colours, random);
    const verdict =
      way === 'no words' ? { nearest } : { nearest, how, ...(way === 'no grades' ? {} : { much }) };
    trial = takeVerdict(trial, balls, verdict, random);
    evaluated = expectedErrorOf(trial, random);
    believe();
    closestBall.push(error(balls[nearest]));
    if (kept !== undefined) continue;
    pieces += balls.flat().reduce((sum, { parts }) => sum + parts, 0);
    if (how.includes('same') || believed[t + 1].chance > 0.5) kept = t + 1;
  }
  return { believed, closestBall, trials: kept ?? TRIALS, pieces };
}

/** What was said of the recommended recipe after one trial, and how far it truly was off. */
interface Believed {
  readonly off: number;
  readonly expected: number;
  readonly chance: number;
}

function anyBalls(recipes: readonly WholeParts[], random: Random): WholeParts[] {
  const left = [...recipes];
  return Array.from(
    { length: Math.min(3, left.length) },
    () => left.splice(random.whole(0, left.length - 1), 1)[0],
  );
}

/** The plain search with the clays as learned and the aim as read. */
function firstKept(who: Sculptor): Course {
  const run = startSearch(who.predictor, {
    ...BOUNDS,
    aim: who.aimRead,
    weights,
    geometry: 'included',
    clays: who.predictor.model.clays.map((_, i) => i),
    top: 1,
  });
  while (!run.step(1e9));
  return Array(TRIALS + 1).fill(deltaE2000(who.colour(run.best()[0].parts), who.aim));
}

function main(): void {
  const { values } = parseArgs({
    options: {
      sculptors: { type: 'string', default: '300' },
      rough: { type: 'string', default: '6' },
      of: { type: 'string', default: 'colour' },
      // As many as the program draws; figures of before were with 100.
      draws: { type: 'string', default: '240' },
      rivals: { type: 'string', default: '40' },
      // The rivals that play, by commas; all when empty.
      ways: { type: 'string', default: '' },
      start: { type: 'string', default: 'rough' },
      eye: { type: 'string', default: 'usual' },
      from: { type: 'string', default: '0' },
    },
  });
  const rough = Number(values.rough);
  const spread = values.of === 'axis' ? rough : rough / Math.sqrt(3);
  const started = performance.now();
  const courses = new Map<Way, Course[]>(WAYS.map((way) => [way, []]));
  const start = oneOf(STARTS, values.start);
  const kind = oneOf(EYES, values.eye);
  const from = Number(values.from);
  const ways = values.ways.split(',').filter((way) => way !== '');
  const all: ReturnType<typeof trialCourse>[] = [];
  for (let index = from; index < from + Number(values.sculptors); index++) {
    const who = sculptor(index, spread, start, kind);
    const ours = trialCourse(who, 'verdicts', 7 + index, Number(values.draws));
    const course = ({ believed }: typeof ours) => believed.map(({ off }) => off);
    courses.get('verdicts')!.push(course(ours));
    courses.get('closest ball')!.push(ours.closestBall);
    courses.get('first recipe')!.push(firstKept(who));
    all.push(ours);
    if (index - from >= Number(values.rivals)) continue;
    for (const way of RIVALS.filter((one) => ways.length === 0 || ways.includes(one))) {
      courses.get(way)!.push(course(trialCourse(who, way, 7 + index, Number(values.draws))));
    }
  }
  const random = randomFrom(5);
  const f = (v: number) => v.toFixed(2).padStart(5);
  console.log(
    `${values.sculptors} sculptors, start ${start}, eye ${kind}, colours ${rough} off (${spread.toFixed(2)} an axis); mean dE00 after trial 0 to ${TRIALS}, with 90 % intervals`,
  );
  for (const [way, rows] of courses) {
    if (rows.length === 0) continue;
    const cells = Array.from({ length: TRIALS + 1 }, (_, t) => {
      const [low, high] = bootstrap(rows, (s) => mean(s.map((c) => c[t])), random, 1000);
      return `${f(mean(rows.map((c) => c[t])))} (${f(low)}-${f(high)})`;
    });
    const left = (s: readonly Course[]) => mean(s.map((c) => c[TRIALS])) / mean(s.map((c) => c[0]));
    const [low, high] = bootstrap(rows, left, random, 1000);
    const last = rows.map((c) => c[TRIALS]);
    const matches = mean(last.map((v) => Number(v <= MATCH)));
    const close = mean(last.map((v) => Number(v <= 3.5)));
    console.log(
      `${way.padEnd(15)}${String(rows.length).padStart(4)}  ${cells.join('  ')}  left ${left(rows).toFixed(2)} (${low.toFixed(2)}-${high.toFixed(2)}), median ${f(quantile(last, 0.5))}, matches ${(100 * matches).toFixed(0)} %, close ${(100 * close).toFixed(0)} %`,
    );
  }
  said(all);
  console.log(`${((performance.now() - started) / 1000).toFixed(0)} s`);
}

const CHANCES = [0, 0.1, 0.25, 0.5, 0.75, 1.01];

/** What was stated against what was true, and what it took. */
function said(all: readonly ReturnType<typeof trialCourse>[]): void {
  const f = (v: number) => v.toFixed(2).padStart(5);
  for (let t = 0; t <= TRIALS; t++) {
    const now = all.map(({ believed }) => believed[t]);
    const matches = mean(now.map(({ off }) => Number(off <= MATCH)));
    console.log(
      `after trial ${t}: expected ${f(mean(now.map((b) => b.expected)))}, true ${f(mean(now.map((b) => b.off)))}; chance stated ${f(mean(now.map((b) => b.chance)))}, a match ${f(matches)}`,
    );
  }
  const judged = all.flatMap(({ believed }) => believed.slice(1));
  CHANCES.slice(0, -1).forEach((low, i) => {
    const here = judged.filter(({ chance }) => chance >= low && chance < CHANCES[i + 1]);
    if (here.length === 0) return;
    const matches = mean(here.map(({ off }) => Number(off <= MATCH)));
    console.log(
      `chance from ${low}: ${String(here.length).padStart(4)} recipes, stated ${f(mean(here.map(({ chance }) => chance)))}, a match ${f(matches)}`,
    );
  });
  const trials = mean(all.map((one) => one.trials));
  console.log(
    `until the recipe is said to be kept: ${f(trials)} trials, ${f(3 * trials)} balls of ${f(mean(all.map((one) => one.pieces / (3 * one.trials))))} pieces, ${f(3 * trials * MINUTES_A_BALL)} minutes`,
  );
}

function oneOf<T extends string>(all: readonly T[], value: string): T {
  const known = all.find((one) => one === value);
  if (known === undefined) throw new Error(`${value} is none of ${all.join(', ')}.`);
  return known;
}

if (process.argv[1]?.endsWith('by-eye.ts')) main();
