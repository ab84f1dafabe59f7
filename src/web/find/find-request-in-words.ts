import { inARow } from '../../core/in-a-row.ts';
import { verdictWord } from '../../core/verdict/verdict.ts';
import { type FindRequest, OTHER_LIGHTS } from './find-request.ts';
import { groupOf, mayUse } from './question-from-request.ts';
import type { Studio } from './studio.ts';

const ENOUGH = {
  same: 'the same colour',
  match: 'a match',
  close: 'close',
  family: 'the same family',
  different: 'a distant colour',
} as const;

/** The rules as one sentence: "From 14 Saltmarsh clays, at most 3 per recipe, up to 12 parts." */
export function findRequestInWords(request: FindRequest, studio: Studio): string {
  const { mostClays, parts, mostLines, halfPart, batchG, withinStock, relax } = request;
  const lights = request.lights ?? studio.lights;
  const percent = (share: number) => `${Math.round(100 * share)} %`;
  const names = (ids: readonly string[] | undefined) =>
    (ids ?? []).flatMap((id) => studio.byBlock.get(id)?.name ?? []);
  const must = names(request.must);
  const said = [
    `${fromWords(request, studio)}, at most ${mostClays} per recipe, up to ${parts} parts`,
    ...(must.length === 0 ? [] : [`always with ${inARow(must)}`]),
    ...(mostLines === undefined
      ? []
      : [mostLines === 1 ? 'one line in a recipe' : `at most ${mostLines} lines in a recipe`]),
    ...(request.atLeast ?? []).flatMap(({ of, share }) => {
      const group = groupOf(of, studio);
      return group === undefined ? [] : [`at least ${percent(share)} ${group.words}`];
    }),
    ...(request.atMost ?? []).flatMap(({ of, share }) => {
      const group = groupOf(of, studio);
      if (group === undefined) return [];
      return [share === 0 ? `no ${group.words}` : `at most ${percent(share)} ${group.words}`];
    }),
    ...(request.effects === true ? ['pearl and translucent clays too'] : []),
    ...(halfPart === undefined ? [] : ['uneven pieces tolerated']),
    ...(batchG === undefined || withinStock !== true
      ? []
      : [`enough in stock for ${Math.round(batchG)} g`]),
    ...(lights.length === 0
      ? []
      : [
          `also under ${inARow(
            OTHER_LIGHTS.flatMap(([light, words]) => (lights.includes(light) ? [words] : [])),
          )}`,
        ]),
    ...(relax === undefined ? [] : [`a different ${relax} is accepted`]),
  ];
  return `${said.join('; ')}. Close enough means ${ENOUGH[verdictWord(request.tolerance)]}.`;
}

/** "From 14 Saltmarsh clays" */
function fromWords(request: FindRequest, studio: Studio): string {
  const allowed = mayUse(request, studio).filter(
    ({ blockId, lineId }) =>
      !request.without.includes(blockId) && (request.lines?.includes(lineId) ?? true),
  );
  const all = studio.clays.length;
  const some = new Set(allowed.flatMap(({ line }) => line ?? []));
  const whole = studio.lines.length > some.size && some.size > 0 && some.size < 3;
  const which = whole ? ` ${inARow([...some])}` : '';
  const clays = (n: number) => (n === 1 ? 'clay' : 'clays');
  if (allowed.length === all) return `From all ${all} ${clays(all)}`;
  if (allowed.length === 0) return 'From no clay yet';
  if (whole) return `From ${allowed.length}${which} ${clays(allowed.length)}`;
  return `From ${allowed.length} of ${all} clays`;
}
