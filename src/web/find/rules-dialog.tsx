import { memo, useState } from 'react';
import { FIND_CHOICES, RELAX, type Relax } from '../../core/find/find-limits.ts';
import { verdictWord } from '../../core/verdict/verdict.ts';
import { verdictHead } from '../../core/verdict/verdict-in-words.ts';
import { type Units, useUnits } from '../book/units.ts';
import { Button } from '../parts/button.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { Pick } from '../parts/field.tsx';
import { Tick } from '../parts/tick.tsx';
import { BatchField } from './batch-field.tsx';
import { ClaysToUse } from './clays-to-use.tsx';
import { FIRST_REQUEST, type FindRequest, OTHER_LIGHTS, withChange } from './find-request.ts';
import { findRequestInWords } from './find-request-in-words.ts';
import { ShareRules } from './share-rules.tsx';
import type { Studio } from './studio.ts';

interface RulesProps {
  readonly request: FindRequest;
  readonly studio: Studio;
  readonly onChange: (request: FindRequest) => void;
  /** Why no recipe can fit rules that contradict each other. */
  readonly no: string | undefined;
}

/** The dialog with all rules for recipes. */
export const RulesDialog = memo(function RulesDialog({
  onClose,
  ...rules
}: RulesProps & { readonly onClose: () => void }) {
  const { request, studio, onChange, no } = rules;
  const [before] = useState(request);
  return (
    <Dialog title="Rules" isOpen onClose={onClose}>
      <p>{findRequestInWords(request, studio)}</p>
      {no === undefined ? null : (
        <p className="field-no" role="alert">
          {no}
        </p>
      )}
      <Rules {...rules} />
      <div className="actions rules-end">
        <Button kind="main" onPress={onClose}>
          Apply
        </Button>
        <Button
          kind="quiet"
          onPress={() =>
            onChange({
              ...FIRST_REQUEST,
              ...(request.aim === undefined ? {} : { aim: request.aim }),
              ...(request.batchG === undefined ? {} : { batchG: request.batchG }),
            })
          }
        >
          Reset rules
        </Button>
        <Button
          kind="quiet"
          onPress={() => {
            onChange(before);
            onClose();
          }}
        >
          Cancel
        </Button>
      </div>
    </Dialog>
  );
});

const counts = (list: readonly number[], also: number, words: (n: number) => string = String) =>
  [...new Set([...list, also])]
    .sort((one, other) => one - other)
    .map((n) => [String(n), words(n)] as const);

function Rules({ request, studio, onChange }: RulesProps) {
  const units = useUnits();
  const set = (change: Parameters<typeof withChange>[1]) => onChange(withChange(request, change));
  const { tolerance, mostClays, parts, mostLines, halfPart, relax } = request;
  const number = (value: string) => (value === '' ? undefined : Number(value));
  return (
    <div className="stack rules">
      <Pick
        label="Close enough means"
        value={String(tolerance)}
        onChange={(v) => set({ tolerance: Number(v) })}
        options={counts(FIND_CHOICES.tolerance, tolerance, enoughInWords)}
      />
      <div className="two">
        <Pick
          label="Clays per recipe, at most"
          value={String(mostClays)}
          onChange={(v) => set({ mostClays: Number(v) })}
          options={counts(FIND_CHOICES.mostClays, mostClays)}
        />
        <Pick
          label="Parts, at most"
          value={String(parts)}
          onChange={(v) => set({ parts: Number(v) })}
          options={counts(FIND_CHOICES.parts, parts)}
        />
      </div>
      <Tick
        isSelected={request.effects === true}
        onChange={(on) => set({ effects: on ? true : undefined })}
      >
        Pearl, translucent, metallic, glitter and glowing clays too
      </Tick>
      <ClaysToUse request={request} studio={studio} onChange={onChange} />
      <ShareRules request={request} studio={studio} onChange={onChange} />
      <div className="two">
        <Pick
          label="Lines in one recipe, at most"
          value={String(mostLines ?? '')}
          onChange={(v) => set({ mostLines: number(v) })}
          options={[['', 'no limit'], ...counts(FIND_CHOICES.mostLines, mostLines ?? 1)]}
        />
        <Pick
          label="If one piece is half a part too big"
          help="Hand-cut pieces differ; with a strong clay it shows most."
          value={String(halfPart ?? '')}
          onChange={(v) => set({ halfPart: number(v) })}
          options={[
            ['', 'may be visible'],
            ...counts(
              FIND_CHOICES.halfPart,
              halfPart ?? tolerance,
              (n) => `must still be ${enoughInWords(n)}`,
            ),
          ]}
        />
      </div>
      <Lights request={request} studio={studio} onChange={onChange} />
      <StockRule request={request} units={units} onChange={onChange} />
      <Pick
        label="If no exact recipe exists, accept a difference in"
        value={relax ?? ''}
        onChange={(v) => set({ relax: v === '' ? undefined : (v as Relax) })}
        options={[['', 'no preference'], ...RELAX.map((one) => [one, RELAX_WORDS[one]] as const)]}
      />
    </div>
  );
}

const RELAX_WORDS: Readonly<Record<Relax, string>> = {
  lightness: 'lightness (lighter or darker)',
  chroma: 'chroma (duller or brighter)',
  hue: 'hue',
};

function enoughInWords(dE00: number): string {
  return verdictHead(verdictWord(dE00)).toLowerCase();
}

function Lights({
  request,
  studio,
  onChange,
}: {
  readonly request: FindRequest;
  readonly studio: Studio;
  readonly onChange: (request: FindRequest) => void;
}) {
  const lights = new Set<string>(request.lights ?? studio.lights);
  return (
    <fieldset className="ticks">
      <legend className="field-label">Close in daylight and also under</legend>
      {OTHER_LIGHTS.map(([light, words]) => (
        <Tick
          key={light}
          isSelected={lights.has(light)}
          onChange={(on) => {
            const next = OTHER_LIGHTS.flatMap(([own]) =>
              (own === light ? on : lights.has(own)) ? [own] : [],
            );
            onChange(withChange(request, { lights: next }));
          }}
        >
          {words}
        </Tick>
      ))}
    </fieldset>
  );
}

function StockRule({
  request,
  units,
  onChange,
}: {
  readonly request: FindRequest;
  readonly units: Units;
  readonly onChange: (request: FindRequest) => void;
}) {
  const { batchG, withinStock } = request;
  return (
    <div className="two">
      <BatchField
        batchG={batchG}
        units={units}
        onChange={(next) =>
          onChange(
            withChange(request, {
              batchG: next,
              ...(next === undefined ? { withinStock: undefined } : {}),
            }),
          )
        }
      />
      <Tick
        isSelected={withinStock === true}
        isDisabled={batchG === undefined}
        onChange={(on) => onChange(withChange(request, { withinStock: on ? true : undefined }))}
      >
        Only clays I have enough of
      </Tick>
    </div>
  );
}
