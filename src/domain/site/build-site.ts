import { hexFromLab } from '../../core/colour/display.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { itemAt } from '../../core/numeric/pairs.ts';
import { sha256Of } from '../canonical-json.ts';
import { percentInWords } from '../powders-in-words.ts';
import { cardContent, partsInWords } from '../share/card-content.ts';
import { bytesFromShare } from '../share/share-codec.ts';
import type { ShareFile } from '../share/share-file.ts';
import { titleOfShared } from '../share/what-leaves.ts';
import type { SiteClays, SiteData, SiteMix } from './site-data.ts';
import { SITE_STYLE } from './site-style.ts';
import { PAGE_WORDS, type PageWords, SITE_WORDS, type SiteWords } from './site-words.ts';

/** What a page is made of besides the recipes. */
export interface SiteParts {
  /** The script of every page, and the one that translates. */
  readonly script: string;
  readonly mine: string;
  readonly titleFont: Uint8Array;
  readonly textFont: Uint8Array;
  /** Words in another language. */
  readonly words?: Partial<PageWords>;
}

/** Tiles that stand in the page itself, for readers without scripts and for the first look. */
const IN_PAGE = 48;

type Content = string | Uint8Array;

/** A file of a page, made when it is asked for. */
export interface SiteFile {
  readonly made: () => Content;
  /** Checksum of all that the file is made from: the same one makes the same file. Absent where that is quicker made. */
  readonly from?: string;
}

/** A page of one's own, made whole. */
export function buildSite(file: ShareFile, parts: SiteParts): ReadonlyMap<string, Content> {
  return new Map([...planSite(file, parts)].map(([path, { made }]) => [path, made()]));
}

/**
 * A page of one's own as files by their paths: it opens from a disk and from any host, asks nothing of the
 * network, and holds nothing that is not in the share file.
 * Holds:   the same share file gives the same files; the page of a mix changes with that mix alone, so that of a
 *          large page only what changed is made again
 */
export function planSite(file: ShareFile, parts: SiteParts): ReadonlyMap<string, SiteFile> {
  const words: PageWords = { ...PAGE_WORDS, ...parts.words };
  const names = fileNames(file);
  const files = new Map<string, SiteFile>();
  const add = (path: string, made: () => Content) => files.set(path, { made });
  add('index.html', () => indexPage(file, names, words));
  add('all.html', () => listPage(file, names, words));
  add('page.css', () => SITE_STYLE);
  add('page.js', () => parts.script);
  add('mine.js', () => parts.mine);
  add('mixes.js', () => `window.KNEADWELL=${inScript(dataOf(file, names, words))}\n`);
  add('clays.js', () => `window.KNEADWELL_CLAYS=${inScript(claysOf(file))}\n`);
  add('title.woff2', () => parts.titleFont);
  add('text.woff2', () => parts.textFont);
  add('recipes.share.json', () => bytesFromShare(file));
  const { madeWith, title, author, link, licence } = file;
  const around = sha256Of(JSON.stringify([madeWith, title, author, link, licence, words]));
  file.mixes.forEach((mix, i) => {
    const clays = mix.parts.map(({ clay }) => itemAt(file.clays, clay));
    const lines = clays.map(({ line }) => (line === undefined ? undefined : file.lines[line]));
    const name = itemAt(names, i);
    files.set(`m/${name}.html`, {
      made: () => mixPage(file, i, name, words),
      from: sha256Of(JSON.stringify([around, name, mix, clays, lines])),
    });
  });
  return files;
}

/** A name for the page of each mix: its code, else its name, plain and once. */
function fileNames(file: ShareFile): readonly string[] {
  const taken = new Set<string>();
  return file.mixes.map((mix) => {
    const plain =
      (mix.code ?? mix.name ?? '')
        .normalize('NFKD')
        .replace(/\p{M}+/gu, '')
        .toLowerCase()
        .replace(/[^a-z0-9]+/g, '-')
        .replace(/^-+|-+$/g, '')
        .slice(0, 60) || 'mix';
    let name = plain;
    for (let n = 2; taken.has(name); n++) name = `${plain}-${n}`;
    taken.add(name);
    return name;
  });
}

function dataOf(file: ShareFile, names: readonly string[], words: PageWords): SiteData {
  return {
    words: wordsOfScript(words),
    clays: file.clays.map(({ name }) => name),
    mixes: file.mixes.map((mix, i): SiteMix => {
      const { colour, parts } = mix;
      return [
        titleOfShared(mix),
        itemAt(names, i),
        colour === undefined ? [] : tenths(colour.lab),
        colour === undefined ? 0 : Math.round(colour.gloss * 100),
        colour === undefined ? 0 : Math.round(colour.plusMinus * 10) / 10,
        parts.flatMap(({ clay, parts: n }) => [clay, n]),
      ];
    }),
  };
}

/** What the recipes say of themselves is in their own pages. */
function wordsOfScript(words: PageWords): SiteWords {
  const keys = Object.keys(SITE_WORDS) as (keyof SiteWords)[];
  return Object.fromEntries(keys.map((key) => [key, words[key]])) as SiteWords;
}

function claysOf({ lines, clays, curves }: ShareFile): SiteClays {
  return {
    lines: lines.map(({ name }) => name),
    clays: clays.map(({ name, line, clayType, lab }) => ({
      name,
      ...(line === undefined ? {} : { line }),
      clayType,
      ...(lab === undefined ? {} : { lab }),
    })),
    ...(curves === undefined ? {} : { curves }),
  };
}

function tenths(lab: Lab): [number, number, number] {
  return [Math.round(lab[0] * 10), Math.round(lab[1] * 10), Math.round(lab[2] * 10)];
}

function indexPage(file: ShareFile, names: readonly string[], words: PageWords): string {
  const tiles = file.mixes.slice(0, IN_PAGE).map((mix, i) => {
    const { colour } = mix;
    const style = colour === undefined ? '' : ` style="background:${hexFromLab(colour.lab)}"`;
    return `<a class="tile" href="m/${names[i]}.html"><span class="colour"${style}></span><span class="name">${safe(titleOfShared(mix))}</span></a>`;
  });
  const mine =
    file.curves === undefined
      ? ''
      : `<details id="mine"><summary>${safe(words.mine)}</summary><p>${safe(words.mineHelp)}</p><div id="clays"></div></details>`;
  return page(
    file,
    words,
    file.title,
    `<header><h1>${safe(file.title)}</h1>${paragraphs(file.words)}</header>
<main>
<div class="ask"><label>${safe(words.search)}<input type="search" id="search" autocomplete="off"></label>
<label>${safe(words.point)}<input type="color" id="colour" value="#7f7f7f"></label>
<button type="button" id="any" hidden>${safe(words.anyColour)}</button></div>
${mine}
<p id="said" role="status"></p>
<p id="none" hidden>${safe(words.nothing)}</p>
<div id="tiles">
${tiles.join('\n')}
</div>
${file.mixes.length > IN_PAGE ? '<p id="more"></p>' : ''}
<p><a href="all.html">${safe(words.all)}</a></p>
</main>`,
    { script: true },
  );
}

function listPage(file: ShareFile, names: readonly string[], words: PageWords): string {
  const rows = file.mixes.map((mix, i) => {
    const recipe = mix.parts
      .map(({ clay, parts }) => `${partsInWords(parts)} ${itemAt(file.clays, clay).name}`)
      .join(' + ');
    return `<li><a href="m/${names[i]}.html">${safe(titleOfShared(mix))}</a>: ${safe(recipe)}</li>`;
  });
  return page(
    file,
    words,
    `${words.all}, ${file.title}`,
    `<header><p><a href="index.html">${safe(words.back)}</a></p><h1>${safe(words.all)}</h1></header>
<main><ul>
${rows.join('\n')}
</ul></main>`,
    {},
  );
}

function mixPage(file: ShareFile, index: number, name: string, words: PageWords): string {
  const content = cardContent(file, index, [], words);
  const lab = content.lab;
  const total = content.parts.reduce((sum, { parts }) => sum + parts, 0);
  const pieces = content.parts.map(({ parts, lab: own }) => {
    const count = Number.isInteger(parts) && total <= 48 ? parts : 1;
    const style = own === undefined ? '' : ` style="background:${hexFromLab(own)}"`;
    return `<span style="flex:${partsInWords(parts)}">${`<b${style}></b>`.repeat(count)}</span>`;
  });
  const rows = content.parts.map(
    ({ name, line, parts, share }) =>
      `<tr><td>${partsInWords(parts)}</td><td>${safe(name)}</td><td>${safe(line ?? '')}</td><td>${percentInWords(share)}</td></tr>`,
  );
  const mix = itemAt(file.mixes, index);
  const from = mix.colour?.from;
  const big = lab === undefined ? '' : ` style="background:${hexFromLab(lab)}"`;
  return page(
    file,
    words,
    `${content.title}, ${file.title}`,
    `<header><p><a href="../index.html">${safe(words.back)}</a></p><h1>${safe(content.title)}</h1></header>
<main>
<div class="colour big"${big}></div>
<div class="pieces" aria-hidden="true">${pieces.join('')}</div>
<table><thead><tr><th>${safe(words.parts)}</th><th>${safe(words.clay)}</th><th>${safe(words.line)}</th><th>${safe(words.share)}</th></tr></thead><tbody>
${rows.join('\n')}
</tbody></table>
${content.powders.map((powder) => `<p>${safe(powder)}</p>`).join('')}
<p>${safe([content.counting, content.bake].join(' '))}</p>
<p>${from === undefined ? '' : `<b>${safe(words[from])}.</b> `}${safe([content.colour, content.look].filter((line) => line !== '').join(' '))}</p>
<p class="quiet">${safe(words.screens)} ${safe(content.caution)}</p>
${paragraphs(mix.note)}
<section id="yours" hidden></section><p id="said" role="status" class="quiet"></p>
</main>`,
    { script: true, mix: name, root: '../' },
  );
}

function page(
  file: ShareFile,
  words: PageWords,
  title: string,
  body: string,
  { script = false, mix = '', root = '' },
): string {
  const { author, link } = file;
  const data = `${mix === '' ? '' : ` data-mix="${mix}"`}${root === '' ? '' : ` data-root="${root}"`}`;
  const scripts = script ? `<script defer src="${root}page.js"></script>` : '';
  const licence = words[`licence ${file.licence}`];
  return `<!doctype html>
<html lang="${safe(words.language)}"${data}>
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${safe(title)}</title>
<link rel="icon" href="data:,">
<link rel="stylesheet" href="${root}page.css">
${scripts}
</head>
<body>
${body}
<footer><p>${safe([author, link].filter((one) => one !== undefined).join(', '))}. ${safe(licence)}</p><p><a href="${root}recipes.share.json" download>${safe(words.file)}</a></p></footer>
</body>
</html>
`;
}

function paragraphs(text: string | undefined): string {
  return (text ?? '')
    .split('\n')
    .filter((line) => line.trim() !== '')
    .map((line) => `<p>${safe(line)}</p>`)
    .join('');
}

/** Text that no browser takes for anything else, also inside of quotes. */
function safe(text: string): string {
  return text.replace(/[&<>"']/g, (sign) => `&#${sign.charCodeAt(0)};`);
}

/** JSON in a script: no text in it can end the script or start a comment. */
function inScript(value: unknown): string {
  return JSON.stringify(value)
    .replace(/</g, '\\u003c')
    .replace(/\u2028/g, '\\u2028')
    .replace(/\u2029/g, '\\u2029');
}
