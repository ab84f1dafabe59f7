import { useMemo, useState } from 'react';
import { labFromLch } from '../../core/colour/spaces.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { seededChance } from '../../core/numeric/seeded-chance.ts';
import { verdict } from '../../core/verdict/verdict.ts';
import { type Look, setLook, useLook } from '../look/look.ts';
import { AimAndPrediction } from '../parts/aim-and-prediction.tsx';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { ContactSheet } from '../parts/contact-sheet.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Field, Part, Pick } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { PieceRow } from '../parts/piece-row.tsx';
import { Tick } from '../parts/tick.tsx';
import { Sample, Tile } from '../parts/tile.tsx';
import { VerdictLine } from '../parts/verdict-line.tsx';

const AIM: Lab = [52, -18, 22];
const MADE: Lab = [53.2, -19, 24.5];
const UNSURE = [4, 0.4, -0.8, 0.4, 5, 1, -0.8, 1, 9];
const SURE = [0.05, 0, 0, 0, 0.06, 0, 0, 0, 0.08];
const PROOF_TILES = 200;
const MANY = 100_000;

/** Every part of the page on one screen, to look at and to hold to what it promises. */
export function Workshop() {
  const look = useLook();
  const [parts, setParts] = useState<Record<string, number>>({ kelp: 5, sand: 2, foam: 1 });
  const [sheet, setSheet] = useState(false);
  const [ticked, setTicked] = useState(true);
  const [word, setWord] = useState('Sea moss');
  const [spread, setSpread] = useState<'sure' | 'unsure'>('unsure');
  const groups = [
    { id: 'kelp', name: 'Kelp', lab: [35.6, -23.8, 21.7] as Lab, parts: parts.kelp },
    { id: 'sand', name: 'Sand', lab: [76.6, 2.5, 11.1] as Lab, parts: parts.sand },
    { id: 'foam', name: 'Foam', lab: [94.3, -1.8, 1.9] as Lab, parts: parts.foam },
  ];
  const covariance = spread === 'sure' ? SURE : UNSURE;
  return (
    <div className="screen">
      <header>
        <h1>Workshop</h1>
        <p className="soft">Every part this page is built from, as it looks on this screen.</p>
      </header>
      <Choice<Look['surround']>
        label="Surround"
        value={look.surround}
        onChange={(surround) => setLook({ surround })}
        options={[
          ['light', 'Light'],
          ['mid', 'Mid grey'],
          ['dark', 'Dark'],
        ]}
      />
      <section className="bench" aria-label="Aim and prediction">
        <AimAndPrediction aim={AIM} made={{ lab: MADE, covariance }} />
        <VerdictLine verdict={verdict(AIM, MADE, covariance)} aim={AIM} made={MADE} />
        <Choice
          label="How sure"
          value={spread}
          onChange={setSpread}
          options={[
            ['unsure', 'Little known'],
            ['sure', 'Well known'],
          ]}
        />
        <PieceRow groups={groups} onChange={(id, n) => setParts({ ...parts, [id]: n })} />
        <PieceRow groups={groups} size="small" />
        <div className="swatches">
          <Sample lab={AIM} code="K7" name="Sea moss" />
          <Sample lab={[60, 90, 60]} name="Stronger than most screens" />
          <Sample lab={undefined} code="K8" name="Not baked yet" />
        </div>
      </section>
      <Part title="Words to press and to type">
        <div className="actions">
          <Button kind="main" onPress={() => setSheet(true)}>
            Lay a sheet over
          </Button>
          <Button>Plain</Button>
          <Button kind="quiet">Seldom wanted</Button>
          <Button isDisabled>Cancel</Button>
        </div>
        <div className="form">
          <Field label="Name" value={word} onChange={setWord} help="As you would call it." />
          <Field label="Code" defaultValue="K7" no="K7 is taken; K8 is free." />
          <Field label="Note" rows={3} />
          <Pick
            label="Counted by"
            value="volume"
            onChange={() => {}}
            options={[
              ['volume', 'Volume'],
              ['weight', 'Weight'],
            ]}
          />
          <Tick isSelected={ticked} onChange={setTicked}>
            Only what is in stock
          </Tick>
        </div>
        <Dialog title="One question" isOpen={sheet} onClose={() => setSheet(false)}>
          <p>It lies over the page until it is answered.</p>
          <div className="actions">
            <Button kind="main" onPress={() => setSheet(false)}>
              Answered
            </Button>
          </div>
        </Dialog>
      </Part>
      <JobProgress what="Searching for recipes" share={0.42} onStop={() => {}} />
      <EmptyState title="Nothing here yet" actions={<Button kind="main">Do this first</Button>}>
        Where there is nothing, it says why, and what to do first.
      </EmptyState>
      <Part title="A hundred thousand tiles">
        <ManyTiles />
      </Part>
      <Part title="Colours to hold the screen to">
        <Proof />
      </Part>
    </div>
  );
}

function ManyTiles() {
  const itemAt = (index: number) => index;
  return (
    <section className="bench" aria-label="Many tiles">
      <ContactSheet label="A hundred thousand tiles" count={MANY} itemAt={itemAt}>
        {(index, tabIndex) => (
          <button type="button" tabIndex={tabIndex}>
            <Tile
              lab={labFromLch([20 + ((index * 7) % 70), (index * 13) % 50, (index * 31) % 360])}
              name={`Tile ${index + 1}`}
            />
            <span className="contact-name">Tile {index + 1}</span>
          </button>
        )}
      </ContactSheet>
    </section>
  );
}

/** Seeded colours, whose pixels a test reads back and compares with what was computed. */
function Proof() {
  const labs = useMemo(() => {
    const random = seededChance(20_261);
    return Array.from({ length: PROOF_TILES }, () =>
      labFromLch([5 + 92 * random.uniform(), 70 * random.uniform(), 360 * random.uniform()]),
    );
  }, []);
  return (
    <ul className="bench swatches" data-size="small" aria-label="Seeded tiles">
      {labs.map((lab) => (
        <li key={lab.join()} data-proof={lab.join(' ')} style={{ listStyle: 'none' }}>
          <Tile lab={lab} name="Seeded tile" />
        </li>
      ))}
    </ul>
  );
}
