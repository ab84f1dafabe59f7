import { HOUSE_VIEWING } from '../../core/colour/house-viewing.ts';
import { FIND_DEFAULTS } from '../../core/find/find-limits.ts';
import type { RulesInWords, ShareInWords } from '../../core/find/rules-in-words.ts';
import type { FindAsk } from '../workers/messages.ts';
import type { FindRequest, RequestShare } from './find-request.ts';
import type { Studio, StudioClay } from './studio.ts';

/** The request in terms of the open clays; undefined without a colour. Deleted clays and lines are left out. */
export function askOf(request: FindRequest, studio: Studio): FindAsk | undefined {
  const { aim, tolerance, mostClays, parts, relax } = request;
  const lights = request.lights ?? studio.lights;
  if (aim === undefined) return undefined;
  return {
    names: studio.names,
    usable: mayUse(request, studio).map(({ clay }) => clay),
    question: {
      ...FIND_DEFAULTS,
      aim: aim.lab,
      viewing: HOUSE_VIEWING,
      ...(lights.length === 0 ? {} : { otherLights: lights }),
      tolerance,
      mostClays,
      parts,
      ...(request.order === undefined ? {} : { order: request.order }),
      rules: rulesOf(request, studio),
      stock: studio.stock,
      ...(relax === undefined ? {} : { relax }),
    },
  };
}

/** Clays that recipes may be made of: all but the block whose own colour is wanted. */
export function mayUse({ aim }: FindRequest, studio: Studio): readonly StudioClay[] {
  return studio.clays.filter(({ blockId }) => blockId !== aim?.blockId);
}

function rulesOf(request: FindRequest, studio: Studio): RulesInWords {
  const { mostLines, halfPart, batchG, withinStock } = request;
  const names = (ids: readonly string[] | undefined) =>
    (ids ?? []).flatMap((id) => studio.byBlock.get(id)?.name ?? []);
  const without = names(request.without);
  const must = names(request.must?.filter((id) => id !== request.aim?.blockId));
  const lines = studio.lines.filter(({ id }) => request.lines?.includes(id));
  const atLeast = (request.atLeast ?? []).flatMap((one) => shareOf(one, studio));
  const atMost = (request.atMost ?? []).flatMap((one) => shareOf(one, studio));
  return {
    ...(without.length === 0 ? {} : { without }),
    ...(must.length === 0 ? {} : { must }),
    ...(lines.length === 0 || lines.length === studio.lines.length
      ? {}
      : { lines: lines.map(({ name }) => name) }),
    ...(mostLines === undefined ? {} : { mostLines }),
    ...(atLeast.length === 0 ? {} : { atLeast }),
    ...(atMost.length === 0 ? {} : { atMost }),
    ...(halfPart === undefined ? {} : { halfPart }),
    ...(request.effects === true ? { effects: true } : {}),
    ...(batchG === undefined || withinStock !== true ? {} : { batchG }),
  };
}

/** The clays a share is of, and their common name; undefined where the book has none of them. */
export function groupOf(
  of: string,
  studio: Studio,
): { readonly words: string; readonly clays: readonly StudioClay[] } | undefined {
  const [kind, id] = [of.slice(0, of.indexOf(' ')), of.slice(of.indexOf(' ') + 1)];
  if (kind === 'line') {
    const line = studio.lines.find((one) => one.id === id);
    if (line === undefined) return undefined;
    return { words: line.name, clays: studio.clays.filter(({ lineId }) => lineId === id) };
  }
  if (kind === 'clayType') {
    return { words: id, clays: studio.clays.filter(({ clayType }) => clayType === id) };
  }
  const clay = studio.byBlock.get(id);
  return clay === undefined ? undefined : { words: clay.name, clays: [clay] };
}

function shareOf({ of, share }: RequestShare, studio: Studio): ShareInWords[] {
  const group = groupOf(of, studio);
  if (group === undefined) return [];
  return [{ of: group.words, share, clays: group.clays.map(({ name }) => name) }];
}
