import { deltaE2000 } from '../../core/colour/difference.ts';
import { hexFromLab, labFromHex } from '../../core/colour/display.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { withValues } from '../../domain/share/with-values.ts';
import type { SiteClays, SiteData, SiteMix } from '../../domain/site/site-data.ts';
import type { OwnRecipe, translator } from './translator.ts';

// The script of a page of one's own: it runs from a disk as from any host, and asks nothing of the network.

declare global {
  interface Window {
    KNEADWELL?: SiteData;
    KNEADWELL_CLAYS?: SiteClays;
    KNEADWELL_TRANSLATOR?: typeof translator;
  }
}

/** The only thing that stays on the reader's device: the names of ticked clays. */
const TICKS = 'kneadwell ticked clays';
/** Somebody who ticks one clay mostly ticks the next at once; all recipes are worked out after the last. */
const TICKING_MS = 350;
/** Recipes worked out before the page is drawn again. */
const AT_ONCE = 40;

const root = document.documentElement.dataset.root ?? '';
/** The file of the mix that this page is about; empty on the first page. */
const about = document.documentElement.dataset.mix ?? '';
/** Its place among all mixes, once those are fetched. */
let one = -1;
const found = new Map<number, OwnRecipe | undefined>();
let data: SiteData;
let words: SiteData['words'];
let mixes: SiteData['mixes'];
let clays: SiteClays | undefined;
let work: ReturnType<typeof translator>;
let asked = 0;

const byId = <E extends HTMLElement>(id: string) => document.getElementById(id) as E | null;
const labOf = ([, , lab]: SiteMix): Lab | undefined =>
  lab.length === 0 ? undefined : [lab[0] / 10, lab[1] / 10, lab[2] / 10];

const tiles = byId('tiles');
if (tiles !== null) {
  byId('search')?.addEventListener('input', () => void drawn());
  byId('colour')?.addEventListener('input', () => {
    byId('any')!.hidden = false;
    tiles.dataset.aim = byId<HTMLInputElement>('colour')!.value;
    void drawn();
  });
  byId('any')?.addEventListener('click', () => {
    delete tiles.dataset.aim;
    byId('any')!.hidden = true;
    void drawn();
  });
  // A browser that goes back fills the search in again.
  if (byId<HTMLInputElement>('search')?.value !== '') void drawn();
  const more = byId('more');
  if (more !== null) {
    new IntersectionObserver(([end], seen) => {
      if (end?.isIntersecting !== true) return;
      seen.disconnect();
      void drawn();
    }).observe(more);
  }
}
const mine = byId<HTMLDetailsElement>('mine');
mine?.addEventListener('toggle', () => {
  if (mine.open) void openClays();
});
if (ticked().length > 0) void openClays();

/** The first page has the first tiles in itself; all mixes are fetched once a reader asks for more. */
let fetched: Promise<void> | undefined;
function allMixes(): Promise<void> {
  fetched ??= added('mixes.js').then(() => {
    data = window.KNEADWELL!;
    ({ words, mixes } = data);
    one = about === '' ? -1 : mixes.findIndex(([, name]) => name === about);
  });
  return fetched;
}

async function drawn(): Promise<void> {
  await allMixes();
  drawTiles(order());
}

/** Places of the mixes that fit the words, the closest to the colour first. */
function order(): number[] {
  const fold = (text: string) => text.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase();
  const wanted = fold(byId<HTMLInputElement>('search')?.value ?? '').split(/\s+/);
  const fits = mixes.flatMap((mix, i) => {
    const names = mix[5].flatMap((clay, at) => (at % 2 === 0 ? (data.clays[clay] ?? '') : []));
    const text = fold([mix[0], ...names].join(' '));
    return wanted.every((word) => text.includes(word)) ? [i] : [];
  });
  const picked = tiles?.dataset.aim;
  if (picked === undefined) return fits;
  const aim = labFromHex(picked);
  const far = new Map(
    fits.map((i) => {
      const lab = labOf(mixes[i]);
      return [i, lab === undefined ? 1000 : deltaE2000(aim, lab)];
    }),
  );
  return fits.sort((a, b) => far.get(a)! - far.get(b)!);
}

function drawTiles(places: readonly number[]): void {
  byId('none')!.hidden = places.length > 0;
  byId('more')?.remove();
  tiles!.replaceChildren(...places.map(tileOf));
}

function tileOf(place: number): HTMLElement {
  const mix = mixes[place];
  const lab = labOf(mix);
  const link = document.createElement('a');
  link.href = `${root}m/${mix[1]}.html`;
  link.className = 'tile';
  const colour = document.createElement('span');
  colour.className = 'colour';
  if (lab !== undefined) colour.style.background = hexFromLab(lab);
  const own = found.get(place);
  if (own !== undefined) {
    const mineColour = document.createElement('span');
    mineColour.className = 'colour own';
    mineColour.style.background = hexFromLab(own.lab);
    link.append(colour, mineColour);
  } else link.append(colour);
  const name = document.createElement('span');
  name.className = 'name';
  name.textContent = mix[0];
  link.append(name);
  if (own !== undefined) {
    const verdict = document.createElement('span');
    verdict.className = 'verdict';
    verdict.textContent = verdictOf(own);
    link.append(verdict);
  }
  return link;
}

function verdictOf({ word, chance }: OwnRecipe): string {
  const ten = Math.round(chance * 10);
  const how =
    ten >= 10 ? words.certainly : ten === 0 ? words.hardly : withValues(words.chance, { n: ten });
  return chance < 0.05 ? words[word] : `${words.match}, ${how}`;
}

/** Curves are fetched when a reader first wants them; a script, because a page from disk may fetch nothing else. */
async function openClays(): Promise<void> {
  if (clays !== undefined) return;
  await Promise.all([allMixes(), added('clays.js'), added('mine.js')]);
  takeClays(window.KNEADWELL_CLAYS!);
}

function added(name: string): Promise<void> {
  return new Promise((resolve, reject) => {
    const script = document.createElement('script');
    script.src = `${root}${name}`;
    script.onload = () => resolve();
    script.onerror = () => reject(new Error(name));
    document.head.append(script);
  });
}

function takeClays(loaded: SiteClays): void {
  clays = loaded;
  work = window.KNEADWELL_TRANSLATOR!(loaded);
  const list = byId('clays');
  if (list !== null) list.replaceChildren(...fieldsets(loaded), otherFile());
  retranslate();
}

function fieldsets({ lines, clays: all }: SiteClays): HTMLElement[] {
  const usable = new Set(work?.usable ?? []);
  const mineNow = new Set(ticked());
  return [...lines.keys(), undefined].flatMap((line) => {
    const own = all.flatMap((clay, i) => (clay.line === line && usable.has(i) ? [i] : []));
    if (own.length === 0) return [];
    const set = document.createElement('fieldset');
    const legend = document.createElement('legend');
    legend.textContent = line === undefined ? words.mine : lines[line];
    set.append(legend);
    const boxes = own.map((i) => {
      const { name, lab } = all[i];
      const { label, box } = tick(name, mineNow.has(keyOf(all, lines, i)));
      box.dataset.clay = String(i);
      if (lab !== undefined) {
        const chip = document.createElement('i');
        chip.style.background = hexFromLab(lab);
        box.after(chip);
      }
      box.addEventListener('change', ticksChanged);
      return { label, box };
    });
    if (line !== undefined) {
      const every = tick(
        withValues(words.allOf, { line: lines[line] }),
        boxes.every(({ box }) => box.checked),
      );
      every.label.className = 'every';
      every.box.addEventListener('change', () => {
        for (const { box } of boxes) box.checked = every.box.checked;
        ticksChanged();
      });
      set.append(every.label);
    }
    set.append(...boxes.map(({ label }) => label));
    return [set];
  });
}

function tick(name: string, checked: boolean) {
  const label = document.createElement('label');
  const box = document.createElement('input');
  box.type = 'checkbox';
  box.checked = checked;
  label.append(box, ` ${name}`);
  return { label, box };
}

/** Readers whose line the author never learned load a share file that has it. */
function otherFile(): HTMLElement {
  const label = document.createElement('label');
  label.className = 'file';
  const input = document.createElement('input');
  input.type = 'file';
  input.accept = '.json,application/json';
  input.addEventListener('change', async () => {
    const file = input.files?.[0];
    if (file === undefined) return;
    try {
      if (file.size > 8 * 2 ** 20) throw new Error('too large');
      const read = JSON.parse(await file.text()) as Omit<SiteClays, 'lines'> & {
        readonly format?: string;
        readonly lines: readonly { readonly name: string }[];
      };
      if (read.format !== 'kneadwell-share' || read.curves === undefined) throw new Error('format');
      takeClays({ ...read, lines: read.lines.map(({ name }) => name) });
    } catch {
      byId('said')!.textContent = words.fault;
    }
  });
  label.append(`${words.otherFile}: `, input);
  return label;
}

function keyOf(all: SiteClays['clays'], lines: readonly string[], i: number): string {
  const { name, line } = all[i];
  return `${line === undefined ? '' : lines[line]} ${name}`;
}

function ticked(): readonly string[] {
  try {
    const read: unknown = JSON.parse(localStorage.getItem(TICKS) ?? '[]');
    return Array.isArray(read) ? read.map(String) : [];
  } catch {
    return [];
  }
}

function ticksChanged(): void {
  const { clays: all, lines } = clays!;
  const boxes = document.querySelectorAll<HTMLInputElement>('#clays input[data-clay]:checked');
  const keys = [...boxes].map((box) => keyOf(all, lines, Number(box.dataset.clay)));
  try {
    localStorage.setItem(TICKS, JSON.stringify(keys));
  } catch {
    // A reader who lets a page store nothing ticks again next time.
  }
  retranslate();
}

function retranslate(): void {
  const round = ++asked;
  found.clear();
  if (work === undefined || clays === undefined) return;
  const { clays: all, lines } = clays;
  const keys = new Set(ticked());
  const places = new Set(all.flatMap((_, i) => (keys.has(keyOf(all, lines, i)) ? [i] : [])));
  const status = byId('said')!;
  if (places.size === 0) {
    status.textContent = '';
    show();
    return;
  }
  status.textContent = words.working;
  const todo = one >= 0 ? [one] : [...mixes.keys()];
  setTimeout(() => {
    if (round !== asked) return;
    work!.tick(places);
    step(0);
  }, TICKING_MS);
  function step(from: number): void {
    if (round !== asked) return;
    for (const place of todo.slice(from, from + AT_ONCE)) {
      const lab = labOf(mixes[place]);
      if (lab !== undefined) found.set(place, work!.translate(lab, mixes[place][3] / 100));
    }
    if (from + AT_ONCE < todo.length) {
      setTimeout(() => step(from + AT_ONCE));
      return;
    }
    const good = [...found.values()].filter(
      (own) => own !== undefined && own.chance >= 0.05,
    ).length;
    status.textContent = one >= 0 ? '' : withValues(words.can, { n: good, all: todo.length });
    show();
  }
}

function show(): void {
  if (tiles !== null) {
    drawTiles(order());
    return;
  }
  const place = byId('yours');
  if (place === null || clays === undefined) return;
  const own = found.get(one);
  place.hidden = own === undefined;
  if (own === undefined) return;
  const heading = document.createElement('h2');
  heading.textContent = words.yours;
  const pair = document.createElement('div');
  pair.className = 'pair';
  for (const lab of [labOf(mixes[one]), own.lab]) {
    const colour = document.createElement('span');
    colour.className = 'colour';
    if (lab !== undefined) colour.style.background = hexFromLab(lab);
    pair.append(colour);
  }
  const recipe = document.createElement('p');
  recipe.className = 'recipe';
  recipe.textContent = own.parts
    .map(({ clay, parts }) => `${parts} ${clays!.clays[clay].name}`)
    .join(' + ');
  const verdict = document.createElement('p');
  const off = Math.hypot(own.dE00, own.plusMinus).toFixed(1);
  verdict.textContent = [
    `${verdictOf(own)}.`,
    own.side === ''
      ? ''
      : withValues(words.comesOut, { way: words[own.side as 'lighter'] ?? own.side }),
    `${withValues(words.expect, { n: off })}.`,
    own.chance < 0.05 ? words.cannot : '',
  ]
    .filter((line) => line !== '')
    .join(' ');
  place.replaceChildren(heading, pair, recipe, verdict);
}
