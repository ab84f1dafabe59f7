import type { Studio } from '../../find/studio.ts';
import { Button } from '../../parts/button.tsx';
import { ClayAdder } from '../../parts/clay-picker.tsx';
import { Pick } from '../../parts/field.tsx';
import { Tick } from '../../parts/tick.tsx';

/** What recipes for other clays are to keep to. */
export interface Rules {
  /** Lines, by id; all when empty. */
  readonly lines: readonly string[];
  /** Blocks left out, by id. */
  readonly without: readonly string[];
  /** Line of which there must be at least `share`, by id. */
  readonly least: string | undefined;
  readonly share: number;
  /** At most a tenth of it is translucent. */
  readonly translucent: boolean;
}

const SHARES = [0.25, 0.5, 0.75] as const;
/** Light goes through a mix of much translucent clay; so much of it hardly shows. Judgement. */
const LITTLE = 0.1;
const NO_LINE = 'none';

export const OTHER_RULES: Rules = {
  lines: [],
  without: [],
  least: undefined,
  share: 0.5,
  translucent: false,
};

/** The rules in the names that a verb knows; undefined where there are none. */
export function rulesInNames(rules: Rules, studio: Studio) {
  const { lines, without, least, share, translucent } = rules;
  const lineName = (id: string) => studio.lines.find((line) => line.id === id)?.name;
  const lineNames = lines.flatMap((id) => lineName(id) ?? []);
  const outNames = without.flatMap((id) => studio.byBlock.get(id)?.name ?? []);
  const leastName = least === undefined ? undefined : lineName(least);
  if (lineNames.length + outNames.length === 0 && leastName === undefined && !translucent) {
    return undefined;
  }
  return {
    ...(lineNames.length === 0 ? {} : { lines: lineNames }),
    ...(outNames.length === 0 ? {} : { without: outNames }),
    ...(leastName === undefined ? {} : { atLeast: [{ of: leastName, share }] }),
    ...(translucent ? { atMost: [{ of: 'translucent', share: LITTLE }], effects: true } : {}),
  };
}

/** Asks what recipes for other clays are to keep to. */
export function OtherRules({
  rules,
  studio,
  onRules,
}: {
  readonly rules: Rules;
  readonly studio: Studio;
  readonly onRules: (rules: Rules) => void;
}) {
  const { lines, without, least, share, translucent } = rules;
  const change = (part: Partial<Rules>) => onRules({ ...rules, ...part });
  return (
    <div className="others-ask">
      <fieldset className="others-lines">
        <legend className="field-label">Clays of these lines only</legend>
        {studio.lines.map((line) => (
          <Tick
            key={line.id}
            isSelected={lines.includes(line.id)}
            onChange={(on) =>
              change({ lines: on ? [...lines, line.id] : lines.filter((one) => one !== line.id) })
            }
          >
            {line.name}
          </Tick>
        ))}
      </fieldset>
      <div className="actions">
        <ClayAdder
          label="Without a clay"
          among={(blockId) => studio.byBlock.has(blockId) && !without.includes(blockId)}
          onChoose={(blockId) => change({ without: [...without, blockId] })}
        />
        {without.map((blockId) => (
          <Button
            key={blockId}
            kind="quiet"
            onPress={() => change({ without: without.filter((one) => one !== blockId) })}
          >
            Without {studio.byBlock.get(blockId)?.name}: undo
          </Button>
        ))}
      </div>
      <Pick
        label="At least a share of one line"
        value={least ?? NO_LINE}
        onChange={(id) => change({ least: id === NO_LINE ? undefined : id })}
        options={[
          [NO_LINE, 'no matter'],
          ...studio.lines.map(({ id, name }) => [id, name] as const),
        ]}
      />
      {least === undefined ? null : (
        <Pick
          label="How much of it?"
          value={String(share)}
          onChange={(next) => change({ share: Number(next) })}
          options={[...new Set([...SHARES, share])]
            .toSorted((one, other) => one - other)
            .map((one) => [String(one), `at least ${Math.round(100 * one)} %`] as const)}
        />
      )}
      <Tick isSelected={translucent} onChange={(on) => change({ translucent: on })}>
        Less translucent: at most {100 * LITTLE} % of it
      </Tick>
    </div>
  );
}
