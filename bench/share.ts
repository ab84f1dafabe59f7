/**
 * What leaves a book and comes in: how large, how true, how quick, and how it bears damaged files.
 *
 * Printed: bytes of a share file of the demo's clays and of 50; colours and ± of shared clays against the
 * author's own; a page of 2,000 mixes: time to build, bytes, time to point at a colour and to translate;
 * 10,000 damaged files and cards: how many were refused, the longest time, the most memory; and what is lost
 * between two books of different lines, predicted against the truth of invented lines.
 *
 * Run:     npx tsx bench/share.ts [files|page|hostile|trip] [how many damaged files]
 */

import { gzipSync } from 'node:zlib';
import { sharesOfParts } from '../src/core/clay/mixture.ts';
import { openModel, predictMix } from '../src/core/clay/predict.ts';
import { roughPredictor } from '../src/core/clay/rough-model.ts';
import { deltaE2000 } from '../src/core/colour/difference.ts';
import { BANDS } from '../src/core/colour/grid.ts';
import type { Lab } from '../src/core/colour/triples.ts';
import { colourWeights } from '../src/core/colour/weights.ts';
import { AppError } from '../src/core/errors.ts';
import { allRecipes } from '../src/core/share/all-recipes.ts';
import { labWithGloss } from '../src/core/share/gloss.ts';
import { joinFramed, joinShared } from '../src/core/share/join-shared.ts';
import { lightPredictor } from '../src/core/share/light-predictor.ts';
import { modelOfShared } from '../src/core/share/model-of-shared.ts';
import { sharedClays } from '../src/core/share/shared-clays.ts';
import { sharedInFrame } from '../src/core/share/shared-in-frame.ts';
import { plusMinusOf } from '../src/core/verdict/verdict.ts';
import { payloadOfMix, shareFromPayload } from '../src/domain/share/recipe-payload.ts';
import { bytesFromShare, sealed, shareFromBytes } from '../src/domain/share/share-codec.ts';
import { claysOfCurves, curvesOfClays } from '../src/domain/share/share-curves.ts';
import type { ShareFile } from '../src/domain/share/share-file.ts';
import { buildSite, planSite } from '../src/domain/site/build-site.ts';
import { demoShare } from '../test/conformance/demo-share.ts';
import { type Mix, type Paint, tile, trueLab } from '../test/conformance/virtual-studio.ts';
import { damagedShares } from '../test/faults/damaged-shares.ts';
import { readPigments } from '../tools/pigments.ts';
import { quantile, randomFrom } from './random.ts';
import { stockTiles } from './speed.ts';

const weights = colourWeights('D50', 2);
const MIXES = 2000;
const HOSTILE = Number(process.argv[3] ?? 10_000);

const say = (text: string) => process.stdout.write(`${text}\n`);
const kb = (bytes: number) => `${(bytes / 1000).toFixed(1)} kB`;
const ms = (from: number) => `${(performance.now() - from).toFixed(0)} ms`;

async function files(): Promise<void> {
  const demo = bytesFromShare(await demoShare({ clays: 'learned', mixes: { all: true } }));
  say(`share file of the demo: ${kb(demo.length)}, ${kb(gzipSync(demo).length)} gzipped`);
  const predictor = roughPredictor(stockTiles(50, 250));
  const { clays } = predictor.model;
  const all = clays.map((_, i) => i);
  const from = performance.now();
  const curves = curvesOfClays(sharedClays(predictor, all), all);
  say(
    `curves of 50 clays made in ${ms(from)}: ${kb(JSON.stringify(curves).length)}, ${kb(gzipSync(JSON.stringify(curves)).length)} gzipped`,
  );
  const names = clays.map(({ name }) => name);
  const shared = claysOfCurves(curves, names);
  const model = openModel(modelOfShared(shared));
  const light = lightPredictor(shared);
  const random = randomFrom(7);
  const off: number[] = [];
  const ratios: number[] = [];
  const lightRatios: number[] = [];
  for (let i = 0; i < 400; i++) {
    const some = new Set<number>();
    while (some.size < random.whole(1, 3)) some.add(random.whole(0, 49));
    const mix = sharesOfParts([...some].map((clay) => ({ clay, parts: random.whole(1, 6) })));
    const options = { weights, partsSpread: mix.length > 1 ? 0.03 : 0 };
    const own = predictMix(predictor, mix, options);
    const theirs = predictMix(model, mix, options);
    const page = light.predict(mix);
    off.push(deltaE2000(own.lab, theirs.lab));
    const size = plusMinusOf(own.lab, own.covariance);
    ratios.push(plusMinusOf(theirs.lab, theirs.covariance) / size);
    lightRatios.push(plusMinusOf(page.lab, page.covariance) / size);
  }
  say(
    `colours off: median ${quantile(off, 0.5).toFixed(4)}, worst ${Math.max(...off).toFixed(4)} dE00`,
  );
  for (const [what, list] of [
    ['model', ratios],
    ['page', lightRatios],
  ] as const) {
    say(
      `± of the ${what} over the own: 5 % ${quantile(list, 0.05).toFixed(3)}, median ${quantile(list, 0.5).toFixed(3)}, 95 % ${quantile(list, 0.95).toFixed(3)}, all ${Math.min(...list).toFixed(3)} to ${Math.max(...list).toFixed(3)}`,
    );
  }
}

/** The demo's file with many invented mixes of its clays. */
async function largeShare(): Promise<ShareFile> {
  const { seal: _, ...demo } = await demoShare({ clays: 'learned' });
  const curves = demo.curves!;
  const light = lightPredictor(
    claysOfCurves(
      curves,
      demo.clays.map(({ name }) => name),
    ),
  );
  const usable = curves.clays.flatMap(({ effect }, i) => (effect === undefined ? [i] : []));
  const random = randomFrom(3);
  const mixes = Array.from({ length: MIXES }, (_, n) => {
    const some = new Set<number>();
    while (some.size < 3) some.add(usable[random.whole(0, usable.length - 1)]);
    const parts = [...some].map((clay) => ({ clay, parts: random.whole(1, 8) }));
    const { lab, covariance } = light.predict(sharesOfParts(parts));
    return {
      code: `N${n}`,
      name: `Invented weed ${n}`,
      basis: 'volume' as const,
      parts: parts.map(({ clay, parts: count }) => ({
        clay: curves.clays[clay].clay,
        parts: count,
      })),
      colour: {
        lab: lab.map((v) => Math.round(v * 100) / 100) as unknown as Lab,
        from: 'predicted' as const,
        plusMinus: Math.round(plusMinusOf(lab, covariance) * 100) / 100,
        gloss: 0.5,
      },
      look: 'flat' as const,
    };
  });
  return sealed({ ...demo, mixes });
}

async function page(): Promise<void> {
  const file = await largeShare();
  const parts = {
    script: 'x'.repeat(9829),
    mine: '',
    titleFont: new Uint8Array(27_020),
    textFont: new Uint8Array(12_096),
  };
  const from = performance.now();
  const site = buildSite(file, parts);
  const whole = performance.now() - from;
  say(`page of ${MIXES} mixes, ${site.size} files, built in ${whole.toFixed(0)} ms`);
  const made = new Map([...planSite(file, parts)].map(([path, one]) => [path, one.from]));
  const { seal: _, ...before } = file;
  const mixes = before.mixes.map((mix, i) => (i === 700 ? { ...mix, note: 'Changed' } : mix));
  const changed = sealed({ ...before, mixes });
  const again = performance.now();
  let written = 0;
  for (const [path, one] of planSite(changed, parts)) {
    if (one.from !== undefined && one.from === made.get(path)) continue;
    one.made();
    written++;
  }
  const part = performance.now() - again;
  say(
    `one mix changed: ${written} files made in ${part.toFixed(0)} ms, ${((100 * part) / whole).toFixed(0)} % of the whole`,
  );
  const first = ['index.html', 'page.css', 'page.js', 'title.woff2', 'text.woff2'];
  const sizes = first.map((path) => Buffer.from(site.get(path)!));
  const raw = sizes.reduce((sum, { length }) => sum + length, 0);
  const packed = sizes.reduce(
    (sum, one, i) => sum + (i > 2 ? one.length : gzipSync(one).length),
    0,
  );
  say(`first page: ${kb(raw)}, ${kb(packed)} gzipped`);
  const labs = file.mixes.map(({ colour }) => colour!.lab);
  const pointed = performance.now();
  const aim: Lab = [52, -18, 22];
  labs.map((lab, i) => ({ i, far: deltaE2000(aim, lab) })).sort((a, b) => a.far - b.far);
  say(`pointing at a colour: ${ms(pointed)}`);
  const curves = file.curves!;
  const light = lightPredictor(
    claysOfCurves(
      curves,
      file.clays.map(({ name }) => name),
    ),
  );
  const usable = curves.clays.flatMap(({ effect }, i) => (effect === undefined ? [i] : []));
  const listed = performance.now();
  const recipes = allRecipes(light.predictor, usable);
  say(`${recipes.count} recipes of ${usable.length} clays in ${ms(listed)}`);
  const translated = performance.now();
  const found = labs.map((lab) =>
    recipes.closest(labWithGloss(lab, 0.5, light.predictor.model.geometry)),
  );
  say(
    `${MIXES} mixes translated in ${ms(translated)}; median ${quantile(
      found.map((one) => one!.dE00),
      0.5,
    ).toFixed(3)} dE00`,
  );
}

async function hostile(): Promise<void> {
  const file = await demoShare({ clays: 'learned' });
  const bytes = bytesFromShare(file);
  const names = file.clays.map(({ name }) => name);
  const refused = new Map<string, number>();
  let longest = 0;
  let most = 0;
  let unforeseen = 0;
  const tally = (what: string, work: () => void) => {
    const from = performance.now();
    let code = 'taken';
    try {
      work();
    } catch (fault) {
      code = fault instanceof AppError ? fault.code : 'unforeseen';
      if (code === 'unforeseen') {
        unforeseen++;
        say(`${what}: ${fault instanceof Error ? fault.stack : fault}`);
      }
    }
    longest = Math.max(longest, performance.now() - from);
    most = Math.max(most, process.memoryUsage().rss);
    refused.set(code, (refused.get(code) ?? 0) + 1);
  };
  const before = process.memoryUsage().rss;
  for (const { what, damaged } of damagedShares(bytes, HOSTILE, 19)) {
    tally(what, () => {
      const read = shareFromBytes(damaged, 'hostile.json');
      // One that was forged into another sound file must give sound clays, or be refused as unfit.
      if (read.curves !== undefined) modelOfShared(claysOfCurves(read.curves, names));
    });
  }
  say(`${HOSTILE} damaged files: ${[...refused].map(([code, n]) => `${code} ${n}`).join(', ')}`);
  say(
    `longest ${longest.toFixed(0)} ms, memory grew by ${(Math.max(0, most - before) / 1e6).toFixed(0)} MB; unforeseen ${unforeseen}`,
  );
  refused.clear();
  longest = 0;
  const { whole } = randomFrom(23);
  const code = payloadOfMix(file, 0);
  const signs = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:';
  for (let i = 0; i < HOSTILE; i++) {
    const at = whole(0, code.length - 1);
    const damaged =
      i % 3 === 0
        ? code.slice(0, at)
        : i % 3 === 1
          ? code.slice(0, at) + signs[whole(0, 44)] + code.slice(at + 1)
          : code + code.slice(at);
    if (damaged !== code) tally('card', () => shareFromPayload(damaged));
  }
  say(
    `${HOSTILE} damaged cards: ${[...refused].map(([name, n]) => `${name} ${n}`).join(', ')}; longest ${longest.toFixed(1)} ms`,
  );
}

/** Tiles of a line of invented clays: each alone, tinted, darkened, and in pairs. */
function lineTiles(line: readonly Paint[], white: Paint, black: Paint, seed: number) {
  const random = randomFrom(seed);
  const options = { noise: 0.3, random };
  const mixes: Mix[] = [
    [[white, 1]],
    [[black, 1]],
    ...line.flatMap((one, i): Mix[] => [
      [[one, 1]],
      [
        [one, 1],
        [white, 3],
      ],
      [
        [one, 1],
        [white, 12],
      ],
      [
        [one, 8],
        [black, 1],
      ],
      [
        [one, 1],
        [line[(i + 3) % line.length], 2],
      ],
    ]),
  ];
  return mixes.map((mix) => tile(mix, options));
}

/** Mixes of one invented line, made again from another by their shared colours; truth by textbook formulas. */
async function trip(): Promise<void> {
  const [white, black, ...paints] = readPigments().map((paint, i) => ({
    ...paint,
    name: `${paint.name} ${i}`,
  }));
  const expected: number[] = [];
  const lost: number[] = [];
  const predicted: number[] = [];
  for (let seed = 1; seed <= 4; seed++) {
    const own = paints.slice(seed, seed + 9);
    const others = paints.slice(seed + 20, seed + 29);
    const reader = roughPredictor(lineTiles(others, white, black, seed));
    const names = reader.model.clays.map(({ name }) => name);
    const clays = names.map((_, i) => i);
    const shared = claysOfCurves(curvesOfClays(sharedClays(reader, clays), clays), names);
    const light = lightPredictor(shared);
    const recipes = allRecipes(light.predictor, clays);
    const byName = new Map([white, black, ...others].map((paint) => [paint.name, paint]));
    const random = randomFrom(40 + seed);
    for (let n = 0; n < 40; n++) {
      const some = new Set<Paint>([white]);
      while (some.size < 3) some.add(own[random.whole(0, own.length - 1)]);
      const mix: Mix = [...some].map((paint) => [paint, random.whole(1, 6)] as const);
      const wanted = trueLab(mix);
      const read = wanted.map((v) => v + 0.3 * random.normal()) as unknown as Lab;
      const found = recipes.closest(read)!;
      const page = light.predict(sharesOfParts(found.parts));
      const made: Mix = found.parts.map(
        ({ clay, parts }) => [byName.get(names[clay])!, parts] as const,
      );
      predicted.push(found.dE00);
      expected.push(Math.hypot(found.dE00, plusMinusOf(page.lab, page.covariance)));
      lost.push(deltaE2000(wanted, trueLab(made)));
    }
  }
  const shown = (list: readonly number[]) =>
    `median ${quantile(list, 0.5).toFixed(2)}, 9 in 10 below ${quantile(list, 0.9).toFixed(2)}`;
  say(
    `between two lines, ${lost.length} mixes: predicted ${shown(predicted)}; expected with the ± ${shown(expected)}; truly lost ${shown(lost)} dE00`,
  );
  const within = lost.filter((v, i) => v <= 1.64 * expected[i]).length / lost.length;
  say(`truly lost within 1.64 of the expected: ${(100 * within).toFixed(0)} %`);
}

/** A white that scatters less than another, and less evenly: the unit in which its book counts. */
function otherWhite(white: Paint): Paint {
  const tilt = (band: number) => 0.7 * (1 + (0.25 * (band - 18)) / 36);
  return {
    name: 'Other white',
    absorption: white.absorption.map((k, band) => 1.6 * k * tilt(band)),
    scattering: white.scattering.map((s, band) => s * tilt(band)),
  };
}

/**
 * Two books with whites of their own and one paint in both, joined with and without that anchor: mixes of
 * clays of both books against the truth; and mixes of the other book made again from own clays.
 */
async function anchor(): Promise<void> {
  const [white, black, ...paints] = readPigments().map((paint, i) => ({
    ...paint,
    name: `${paint.name} ${i}`,
  }));
  const errors = { with: [] as number[], without: [] as number[] };
  const within = { with: 0, without: 0 };
  const lost = { predicted: [] as number[], expected: [] as number[], truly: [] as number[] };
  const others = paints.filter(({ name }) => !name.startsWith('Titanium White'));
  for (let seed = 1; seed <= 4; seed++) {
    const random = randomFrom(seed);
    const both = others[7 * seed];
    const own = others.slice(seed, seed + 7);
    const theirs = others.slice(seed + 12, seed + 19);
    const theirWhite = otherWhite(white);
    const reader = roughPredictor(lineTiles([...own, both], white, black, seed));
    const author = roughPredictor(lineTiles([...theirs, both], theirWhite, black, seed + 50));
    const names = author.model.clays.map(({ name }) => name);
    const all = names.map((_, i) => i);
    const shared = claysOfCurves(curvesOfClays(sharedClays(author, all), all), names);
    const pair = {
      own: reader.model.clays.findIndex(({ name }) => name === both.name),
      theirs: names.indexOf(both.name),
    };
    const joined = {
      with: joinShared(reader.model, shared, [pair]),
      without: joinFramed(
        reader.model,
        sharedInFrame(shared, reader.model.prior, new Float64Array(BANDS)),
        [pair],
      ),
    };
    const at = (list: typeof own, i: number) => list[i % list.length];
    for (const how of ['with', 'without'] as const) {
      const { model, placeOf } = joined[how];
      const predictor = openModel(model);
      const place = (paint: Paint, theirOwn: boolean) =>
        theirOwn
          ? placeOf[names.indexOf(paint.name)]
          : model.clays.findIndex(({ name }) => name === paint.name);
      for (let n = 0; n < 60; n++) {
        const parts = [
          { paint: at(own, n), theirOwn: false, parts: 1 + (n % 3) },
          { paint: at(theirs, n + Math.floor(n / 7)), theirOwn: true, parts: 1 + (n % 4) },
          { paint: white, theirOwn: false, parts: n % 5 },
        ].filter((part) => part.parts > 0);
        const truth = trueLab(parts.map(({ paint, parts: count }) => [paint, count] as const));
        const mix = sharesOfParts(
          parts.map((part) => ({ clay: place(part.paint, part.theirOwn), parts: part.parts })),
        );
        const { lab, covariance } = predictMix(predictor, mix, { weights, partsSpread: 0.03 });
        const off = deltaE2000(truth, lab);
        errors[how].push(off);
        if (off <= 1.64 * plusMinusOf(lab, covariance)) within[how]++;
      }
      if (how === 'without') continue;
      // Their mixes, predicted from their curves, made again from the own clays.
      const mine = reader.model.clays.map((_, i) => i);
      const recipes = allRecipes(predictor, mine);
      const paintOf = [white, black, ...own, both];
      for (let n = 0; n < 40; n++) {
        const mix: Mix = [
          [at(theirs, n), random.whole(1, 5)],
          [at(theirs, n + 3), random.whole(1, 5)],
          [theirWhite, random.whole(1, 8)],
        ];
        const asked = predictMix(
          predictor,
          sharesOfParts(
            mix.map(([paint, parts]) => ({ clay: placeOf[names.indexOf(paint.name)], parts })),
          ),
          { weights, partsSpread: 0.03 },
        );
        const found = recipes.closest(asked.lab)!;
        const made = predictMix(predictor, sharesOfParts(found.parts), {
          weights,
          partsSpread: 0.03,
        });
        lost.predicted.push(found.dE00);
        lost.expected.push(
          Math.hypot(
            found.dE00,
            plusMinusOf(asked.lab, asked.covariance),
            plusMinusOf(made.lab, made.covariance),
          ),
        );
        const truth = trueLab(
          found.parts.map(
            ({ clay, parts }) =>
              [paintOf.find(({ name }) => name === reader.model.clays[clay].name)!, parts] as const,
          ),
        );
        lost.truly.push(deltaE2000(trueLab(mix), truth));
      }
    }
  }
  for (const how of ['with', 'without'] as const) {
    say(
      `mixes of two books ${how} an anchor: median ${quantile(errors[how], 0.5).toFixed(2)}, 9 in 10 below ${quantile(errors[how], 0.9).toFixed(2)} dE00; ${((100 * within[how]) / errors[how].length).toFixed(0)} % within 1.64 of the ±`,
    );
  }
  const shown = (list: readonly number[]) =>
    `median ${quantile(list, 0.5).toFixed(2)}, 9 in 10 below ${quantile(list, 0.9).toFixed(2)}`;
  say(
    `their mixes by their curves, made again from own clays: predicted ${shown(lost.predicted)}; expected with both ± ${shown(lost.expected)}; truly lost ${shown(lost.truly)} dE00`,
  );
}

const PARTS = { files, page, hostile, trip, anchor };
const [only] = process.argv.slice(2);
for (const [name, work] of Object.entries(PARTS)) {
  if (only === undefined || only === name) await work();
}
