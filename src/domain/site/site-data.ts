import type { ShareCurves } from '../share/share-file.ts';
import type { SiteWords } from './site-words.ts';

/** A mix as the first page holds it: title, file, colour, gloss, ±, clays and parts in turn. */
export type SiteMix = readonly [
  title: string,
  file: string,
  /** Ten times L, a and b; empty where the colour is not known. */
  lab: readonly [number, number, number] | readonly [],
  /** A hundred times the gloss, and the ±. */
  gloss: number,
  plusMinus: number,
  parts: readonly number[],
];

/** What the first page needs. */
export interface SiteData {
  readonly words: SiteWords;
  readonly clays: readonly string[];
  readonly mixes: readonly SiteMix[];
}

/** What is fetched once a reader ticks clays. */
export interface SiteClays {
  readonly lines: readonly string[];
  readonly clays: readonly {
    readonly name: string;
    readonly line?: number;
    readonly clayType: string;
    readonly lab?: readonly [number, number, number];
  }[];
  readonly curves?: ShareCurves;
}
