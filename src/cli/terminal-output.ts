import { srgbFromLab } from '../core/colour/display.ts';
import type { Lab } from '../core/colour/triples.ts';
import { pairs } from '../core/numeric/pairs.ts';
import { plainMoney } from '../domain/money.ts';

/** Stands after a colour that a screen cannot show. */
export const NOT_SHOWN = '~';
export const NOT_SHOWN_NOTE = `${NOT_SHOWN} stronger than a screen can show; the tile is the colour, not the screen`;

/** What the place of output can do. */
export interface Screen {
  /** Whether it is a terminal that shows 24-bit colour and was not asked to leave it. */
  readonly colour: boolean;
}

/**
 * Source: COLORTERM as terminals set it (common practice, no source); NO_COLOR, no-color.org: any
 * text but an empty one switches colour off
 */
export function screenFrom(
  env: Readonly<Record<string, string | undefined>>,
  isTerminal: boolean,
): Screen {
  const deep = env.COLORTERM === 'truecolor' || env.COLORTERM === '24bit';
  const refused = (env.NO_COLOR ?? '') !== '' || env.TERM === 'dumb';
  return { colour: isTerminal && deep && !refused };
}

/** Tiles side by side that touch along one edge; nothing at all where no colour can be shown. */
export function swatch(screen: Screen, ...tiles: readonly Lab[]): string {
  if (!screen.colour) return '';
  const blocks = tiles.map((lab) => {
    const [r, g, b] = srgbFromLab(lab).rgb.map((v) => Math.round(v * 255));
    return `\u001b[48;2;${r};${g};${b}m      `;
  });
  return `${blocks.join('')}\u001b[0m  `;
}

/** `#8a3b2c`, with a mark where the screen shows something duller than it should. */
export function screenCode(lab: Lab): string {
  const { css, shown } = srgbFromLab(lab);
  return shown ? css : `${css}${NOT_SHOWN}`;
}

export function isShown(lab: Lab): boolean {
  return srgbFromLab(lab).shown;
}

/** -0.04 is written 0.0, because no reading is minus zero. */
export function fixed(value: number, digits: number): string {
  const text = value.toFixed(digits);
  return Number(text) === 0 ? (0).toFixed(digits) : text;
}

export function labText(lab: Lab): string {
  const [l, a, b] = lab.map((v) => fixed(v, 1));
  return `L ${l}  a ${a}  b ${b}`;
}

/**
 * Rows as aligned columns, two spaces between, ends trimmed. `align` has one letter a column:
 * l left, r right.
 */
export function columns(rows: readonly (readonly string[])[], align: string): string[] {
  const sides = [...align].map((side, i) => ({
    side,
    width: Math.max(...rows.map((row) => row[i]?.length ?? 0)),
  }));
  return rows.map((row) =>
    pairs(row, sides)
      .map(([cell, { side, width }]) => (side === 'r' ? cell.padStart(width) : cell.padEnd(width)))
      .join('  ')
      .trimEnd(),
  );
}

/** Names or file names may hold control codes; a terminal must not obey them. */
export function plain(text: string): string {
  return text.replace(/[\p{Cc}\p{Cs}\u2028\u2029]/gu, '\u00b7');
}

/** An amount of money from its minor units, without its currency. */
export function money(minor: number, currency?: string): string {
  return plainMoney({ minor, currency });
}

/** An amount of money with its currency, where that is known. */
export function moneyIn(minor: number, currency: string | undefined): string {
  return `${money(minor, currency)}${currency === undefined ? '' : ` ${currency}`}`;
}

export function counted(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}
