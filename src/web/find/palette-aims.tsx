import type { Lab } from '../../core/colour/triples.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { useAll } from '../book/queries.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { Button } from '../parts/button.tsx';
import { Tile } from '../parts/tile.tsx';
import type { RequestAim } from './find-request.ts';

type PaletteAim = RecordOf<'palette'>['body']['aims'][number];

function aimOf(palette: RecordOf<'palette'>, { id, lab, name }: PaletteAim): RequestAim {
  const colour = lab as Lab;
  const words = `${palette.body.name}, ${name ?? spokenColour(colour)}`;
  return { lab: colour, words, palette: { id: palette.id, aimId: id } };
}

/** The colours of every palette, to choose one; in Find the others follow one by one. */
export function PaletteAims({
  chosen,
  onChoose,
}: {
  readonly chosen: RequestAim | undefined;
  readonly onChoose: (aim: RequestAim) => void;
}) {
  const palettes = useAll('palette');
  return (
    <div className="stack">
      {palettes.records.map((palette) => (
        <section key={palette.id} className="stack tight" aria-label={palette.body.name}>
          <span className="field-label">{palette.body.name}</span>
          <ul className="swatches bench" data-size="small">
            {palette.body.aims.map((aim) => {
              const one = aimOf(palette, aim);
              const { palette: from } = chosen ?? {};
              const isChosen = from?.id === palette.id && from.aimId === aim.id;
              return (
                <li key={aim.id} style={{ listStyle: 'none' }}>
                  <button
                    type="button"
                    className="chosen-sample"
                    aria-pressed={isChosen}
                    onClick={() => onChoose(one)}
                  >
                    <Tile lab={one.lab} name={one.words} />
                    <span className="contact-name">{aim.name ?? spokenColour(one.lab)}</span>
                  </button>
                </li>
              );
            })}
          </ul>
        </section>
      ))}
    </div>
  );
}

/** The place of the colour in its palette, and a button to the next. */
export function NextInPalette({
  aim,
  onChoose,
}: {
  readonly aim: RequestAim;
  readonly onChoose: (aim: RequestAim) => void;
}) {
  const palettes = useAll('palette');
  const palette = palettes.byId.get(aim.palette?.id ?? '');
  const at = palette?.body.aims.findIndex(({ id }) => id === aim.palette?.aimId) ?? -1;
  if (palette === undefined || at < 0) return null;
  const { aims } = palette.body;
  const next = aims[(at + 1) % aims.length];
  return (
    <div className="actions">
      <span className="soft small">
        {palette.body.name}, {at + 1} of {aims.length}
      </span>
      {aims.length < 2 ? null : (
        <Button kind="quiet" onPress={() => onChoose(aimOf(palette, next))}>
          Next colour: {next.name ?? spokenColour(next.lab as Lab)}
        </Button>
      )}
    </div>
  );
}
