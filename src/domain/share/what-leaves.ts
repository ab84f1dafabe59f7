import { licenceOf } from './licences.ts';
import type { ShareFileBody } from './share-file.ts';

/** Names in one sentence; more are counted. */
const MOST_NAMED = 8;

/**
 * What leaves with a share file, and what stays, each a sentence. Said of the file itself, so that a field
 * nobody spoke of cannot be in it unseen.
 */
export function whatLeaves(file: ShareFileBody): {
  readonly leaves: readonly string[];
  readonly stays: readonly string[];
} {
  const { author, link, words, licence, mixes, clays, curves, lines, palettes, photos, wishes } =
    file;
  const has = (some: (mix: ShareFileBody['mixes'][number]) => unknown) =>
    mixes.some((mix) => some(mix) !== undefined);
  const baked = mixes.filter(({ colour }) => colour?.from === 'baked').length;
  const predicted = mixes.filter(({ colour }) => colour?.from === 'predicted').length;
  const leaves = [
    `${counted(mixes.length, 'recipe')}: ${named(mixes.map(titleOfShared))}.`,
    `Their colours: ${baked} baked, ${predicted} predicted, ${mixes.length - baked - predicted} unknown.`,
    `${counted(clays.length, 'clay')} by name${lines.length === 0 ? '' : `, of ${named(lines.map(({ name }) => name))}`}: ${named(clays.map(({ name }) => name))}.`,
    ...(clays.some(({ densityGPerCm3 }) => densityGPerCm3 !== undefined)
      ? ['Densities of clays.']
      : []),
    ...(lines.some(({ heat, neverExceedC }) => heat !== undefined || neverExceedC !== undefined)
      ? ['How hot and how long the packages say to bake.']
      : []),
    ...(curves === undefined
      ? []
      : [
          `How ${counted(curves.clays.length, 'clay')} ${curves.clays.length === 1 ? 'mixes' : 'mix'}, with the ±. The tiles behind that stay with you.`,
        ]),
    ...(palettes.length === 0
      ? []
      : [`${counted(palettes.length, 'palette')}: ${named(palettes.map(({ name }) => name))}.`]),
    ...(photos === undefined
      ? []
      : [
          `${counted(photos.length, 'photo')} of these mixes, made small: the whole picture, with all that is around the tile. When, where and with which camera they were taken stays with you.`,
        ]),
    ...(wishes === undefined
      ? []
      : [
          `Your wish list, ${counted(wishes.length, 'colour')}: ${named(wishes.map(({ name }) => name))}.`,
        ]),
    `Your name, ${author}${link === undefined ? '' : `, and ${link}`}${words === undefined ? '' : ', and your words'}.`,
    `The licence: ${licenceOf(licence).name}. ${licenceOf(licence).says}`,
    ...(has(({ note }) => note) ? ['Your notes on these recipes.'] : []),
    ...(has(({ tags }) => tags) ? ['Your tags on these recipes.'] : []),
    ...(clays.some(({ price }) => price !== undefined) ? ['Prices of clays.'] : []),
    ...(has(({ readings }) => readings) ? ['Every colour you read of these mixes.'] : []),
  ];
  const stays = [
    ...(has(({ note }) => note) ? [] : ['notes']),
    ...(has(({ tags }) => tags) ? [] : ['tags']),
    ...(clays.some(({ price }) => price !== undefined) ? [] : ['prices']),
    ...(has(({ readings }) => readings) ? [] : ['readings']),
    ...(wishes === undefined ? ['wish list'] : []),
    photos === undefined ? 'photos' : 'other photos',
    'boxes and places',
    'purchases and stock',
    'tiles',
    'figures and who has them',
    'other mixes',
    'history',
  ];
  return { leaves, stays };
}

/** How a shared mix is spoken of. */
export function titleOfShared({
  name,
  code,
}: Pick<ShareFileBody['mixes'][number], 'name' | 'code'>): string {
  return [name, code].filter((text) => text !== undefined).join(' ');
}

function counted(n: number, what: string): string {
  return `${n} ${what}${n === 1 ? '' : 's'}`;
}

function named(names: readonly string[]): string {
  const some = names.slice(0, MOST_NAMED).join(', ');
  return names.length > MOST_NAMED ? `${some} and ${names.length - MOST_NAMED} more` : some;
}
