import { AppError } from '../errors.ts';
import { UNREADABLE_ALL } from './clay-name.ts';

/** The error of a recipe that cannot be read at one place; places in messages count from 1. */
export function recipeError(text: string, at: number, expected: string, hint: string): AppError {
  const rest = text.slice(at);
  const found = rest === '' ? 'the end' : `"${excerpt(rest, 24)}"`;
  return new AppError({
    code: 'recipe-unreadable',
    kind: 'bad-input',
    detail: `In the recipe "${excerpt(text, 80)}", character ${at + 1}: found ${found}, expected ${expected}.`,
    hint,
  });
}

/** A short piece of the text, safe to show in a message. */
function excerpt(text: string, length: number): string {
  const piece = text.length <= length ? text : `${text.slice(0, length)}...`;
  return piece.replace(UNREADABLE_ALL, '\u00b7');
}
