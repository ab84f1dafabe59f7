import { PieceBar } from '../../parts/piece-bar.tsx';
import { countInWords, type PieceGroup } from '../../parts/piece-group.ts';

/** The lump filling up: pieces already in it in their colour, those to come in hatching. */
export function LumpSoFar({
  groups,
  step,
}: {
  readonly groups: readonly PieceGroup[];
  /** The clay that is added now; past the last one all of them are in. */
  readonly step: number;
}) {
  const next = groups[step + 1];
  const said = ({ parts, name }: PieceGroup) => `${countInWords(parts)} ${name}`;
  return (
    <section className="mixing-lump" aria-label="The lump so far">
      <div className="pieces" data-size="lump">
        <PieceBar
          groups={groups.map((group, i) => ({
            ...group,
            lab: i > step ? undefined : group.lab,
            isNow: i === step,
          }))}
        />
      </div>
      <p className="small">
        <span>
          {step === 0
            ? 'Nothing in the lump yet'
            : `In the lump: ${groups.slice(0, step).map(said).join(', ')}`}
        </span>
        {next === undefined ? null : <span>Next: {said(next)}</span>}
      </p>
    </section>
  );
}
