import type { OpenClays } from '../book/clays.ts';
import { useBlockNames } from '../book/names.ts';
import { useAll } from '../book/queries.ts';
import { screenColour } from '../colour/screen-colour.ts';
import { Button } from '../parts/button.tsx';
import { Pick } from '../parts/field.tsx';
import { Tick } from '../parts/tick.tsx';
import type { SeekQuestion } from './seek-question.ts';

const numbers = (list: readonly number[], words: (n: number) => string) =>
  list.map((n) => [String(n), words(n)] as const);

/** Which clays may be used, and what a recipe must keep to. */
export function SeekRulesForm({
  question,
  onChange,
  clays,
}: {
  readonly question: SeekQuestion;
  readonly onChange: (question: SeekQuestion) => void;
  readonly clays: OpenClays;
}) {
  const { nameOf, lineOf } = useBlockNames();
  const lines = useAll('line');
  const without = new Set(question.without);
  const { least: _l, mostGlassy: _g, mostLines: _m, ...plain } = question;
  const { least, mostGlassy, mostLines } = question;
  const rules = {
    ...(least === undefined ? {} : { least }),
    ...(mostGlassy === undefined ? {} : { mostGlassy }),
    ...(mostLines === undefined ? {} : { mostLines }),
  };
  const byLine = [...new Set(clays.blocks.map(({ blockId }) => lineOf(blockId)))].sort();
  return (
    <div className="stack">
      <Pick
        label="Near enough is"
        value={String(question.tolerance)}
        onChange={(v) => onChange({ ...question, tolerance: Number(v) })}
        options={[
          ['0.8', 'the same'],
          ['1.8', 'a match'],
          ['3.5', 'close'],
          ['7', 'of the same family'],
        ]}
      />
      <div className="two">
        <Pick
          label="Clays, at most"
          value={String(question.mostParents)}
          onChange={(v) => onChange({ ...question, mostParents: Number(v) })}
          options={numbers([1, 2, 3, 4, 5], String)}
        />
        <Pick
          label="Parts, at most"
          value={String(question.parts)}
          onChange={(v) => onChange({ ...question, parts: Number(v) })}
          options={numbers([4, 6, 8, 10, 12, 16, 20, 24, 32], String)}
        />
      </div>
      <details>
        <summary>Rules for strong or clear clay</summary>
        <div className="stack">
          <Pick
            label="A line that must be in it"
            value={least?.lineId ?? ''}
            onChange={(lineId) => {
              const { least: _, ...others } = rules;
              const share = least?.share ?? 0.5;
              onChange({
                ...plain,
                ...others,
                ...(lineId === '' ? {} : { least: { lineId, share } }),
              });
            }}
            options={[
              ['', 'none'],
              ...lines.records.map(({ id, body }) => [id, body.name] as const),
            ]}
          />
          {least === undefined ? null : (
            <Pick
              label="Its share, at least"
              value={String(least.share)}
              onChange={(v) => onChange({ ...question, least: { ...least, share: Number(v) } })}
              options={numbers([0.25, 0.5, 0.67, 0.75, 0.9], (n) => `${Math.round(100 * n)} %`)}
            />
          )}
          <Pick
            label="Translucent and pearl, at most"
            value={String(mostGlassy ?? '')}
            onChange={(v) => {
              const { mostGlassy: _, ...others } = rules;
              onChange({ ...plain, ...others, ...(v === '' ? {} : { mostGlassy: Number(v) }) });
            }}
            options={[
              ['', 'as it comes'],
              ...numbers([0, 0.1, 0.25, 0.5], (n) => `${Math.round(100 * n)} %`),
            ]}
          />
          <Pick
            label="Lines in one recipe"
            value={String(mostLines ?? '')}
            onChange={(v) => {
              const { mostLines: _, ...others } = rules;
              onChange({ ...plain, ...others, ...(v === '' ? {} : { mostLines: Number(v) }) });
            }}
            options={[['', 'as it comes'], ...numbers([1, 2], String)]}
          />
        </div>
      </details>
      <details open={without.size > 0}>
        <summary>
          Clays to use, {clays.blocks.filter(({ blockId }) => !without.has(blockId)).length} of{' '}
          {clays.blocks.length}
        </summary>
        <div className="doings">
          <Button kind="quiet" onPress={() => onChange({ ...question, without: [] })}>
            All
          </Button>
          <Button
            kind="quiet"
            onPress={() =>
              onChange({ ...question, without: clays.blocks.map(({ blockId }) => blockId) })
            }
          >
            None
          </Button>
        </div>
        {byLine.map((line) => (
          <section key={line} aria-label={line}>
            <span className="field-label">{line}</span>
            <ul className="parents">
              {clays.blocks
                .filter(({ blockId }) => lineOf(blockId) === line)
                .map(({ blockId, lab }) => (
                  <li key={blockId}>
                    <Tick
                      isSelected={!without.has(blockId)}
                      onChange={(on) => {
                        const next = new Set(without);
                        if (on) next.delete(blockId);
                        else next.add(blockId);
                        onChange({ ...question, without: [...next] });
                      }}
                    >
                      <span
                        className="tick-colour"
                        style={{ background: screenColour(lab).css }}
                        aria-hidden="true"
                      />
                      {nameOf(blockId)}
                    </Tick>
                  </li>
                ))}
            </ul>
          </section>
        ))}
      </details>
    </div>
  );
}
