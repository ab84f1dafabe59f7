import { useClayColours } from '../colour/clay-colours.ts';
import { screenColour } from '../colour/screen-colour.ts';
import { Button } from '../parts/button.tsx';
import { ClayAdder } from '../parts/clay-picker.tsx';
import { Tick } from '../parts/tick.tsx';
import { type FindRequest, withChange } from './find-request.ts';
import type { Studio } from './studio.ts';

/** Which lines and clays to use, and which clays must be in every recipe. */
export function ClaysToUse({
  request,
  studio,
  onChange,
}: {
  readonly request: FindRequest;
  readonly studio: Studio;
  readonly onChange: (request: FindRequest) => void;
}) {
  const labOf = useClayColours();
  const without = new Set(request.without);
  const lines = request.lines;
  const inLine = (lineId: string) => lines?.includes(lineId) ?? true;
  const set = (change: Parameters<typeof withChange>[1]) => onChange(withChange(request, change));
  const setLine = (lineId: string, on: boolean) => {
    const next = studio.lines.flatMap(({ id }) => ((id === lineId ? on : inLine(id)) ? [id] : []));
    // With all lines ticked, a line bought later counts too.
    set({ lines: next.length === studio.lines.length ? undefined : next });
  };
  const must = (request.must ?? []).flatMap((id) => studio.byBlock.get(id) ?? []);
  const used = studio.clays.filter(
    ({ blockId, lineId }) => inLine(lineId) && !without.has(blockId),
  );
  const lines1 = studio.lines.length > 1;
  return (
    <>
      {lines1 ? (
        <fieldset className="ticks">
          <legend className="field-label">Lines</legend>
          {studio.lines.map(({ id, name }) => (
            <Tick
              key={id}
              isSelected={inLine(id)}
              // At least one line stays ticked.
              isDisabled={inLine(id) && studio.lines.filter((one) => inLine(one.id)).length === 1}
              onChange={(on) => setLine(id, on)}
            >
              {name}
            </Tick>
          ))}
        </fieldset>
      ) : null}
      <details>
        <summary>
          Clays to use, {used.length} of {studio.clays.length}
        </summary>
        <div className="actions">
          <Button kind="quiet" onPress={() => set({ without: [] })}>
            All
          </Button>
          <Button
            kind="quiet"
            onPress={() => set({ without: studio.clays.map(({ blockId }) => blockId) })}
          >
            None
          </Button>
        </div>
        {studio.lines
          .filter(({ id }) => inLine(id))
          .map(({ id, name }) => (
            <section key={id} aria-label={name}>
              <span className="field-label">{name}</span>
              <ul className="clays">
                {studio.clays
                  .filter(({ lineId }) => lineId === id)
                  .map((clay) => {
                    const lab = labOf(clay.blockId);
                    return (
                      <li key={clay.blockId}>
                        <Tick
                          isSelected={!without.has(clay.blockId)}
                          onChange={(on) => {
                            const next = new Set(without);
                            if (on) next.delete(clay.blockId);
                            else next.add(clay.blockId);
                            set({ without: [...next] });
                          }}
                        >
                          {lab === undefined ? null : (
                            <span
                              className="tick-colour"
                              style={{ background: screenColour(lab).css }}
                              aria-hidden="true"
                            />
                          )}
                          {clay.name}
                        </Tick>
                      </li>
                    );
                  })}
              </ul>
            </section>
          ))}
      </details>
      <div className="stack tight">
        <span className="field-label">Always use</span>
        <div className="actions">
          <ClayAdder
            label={must.length === 0 ? 'Choose a clay' : 'Choose one more clay'}
            among={(id) => studio.byBlock.has(id) && request.must?.includes(id) !== true}
            onChoose={(id) => set({ must: [...(request.must ?? []), id] })}
          />
        </div>
        {must.length === 0 ? null : (
          <ul className="set-rules">
            {must.map(({ blockId, name }) => (
              <li key={blockId}>
                {name}
                <Button
                  kind="quiet"
                  aria-label={`Remove ${name}`}
                  onPress={() => set({ must: request.must?.filter((one) => one !== blockId) })}
                >
                  Remove
                </Button>
              </li>
            ))}
          </ul>
        )}
      </div>
    </>
  );
}
