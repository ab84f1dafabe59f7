import { useEffect, useState } from 'react';
import { type BendResult, RESULTS } from '../../../core/strength/bend-results.ts';
import { change } from '../../../domain/changes/steps.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { sendChange, wordsOf } from '../../book/change.ts';
import { showNotice } from '../../book/notice.ts';
import { useUnits } from '../../book/units.ts';
import { Choice } from '../../parts/choice.tsx';
import { Field } from '../../parts/field.tsx';
import { Bent, RESULT_WORDS } from './bent.tsx';
import { numberIn } from './part-asked.ts';

type BendTest = RecordOf<'bend-test'>;

/** A set of bend tests as a grid: a row a share, a strip drawn as it came out, one press a result. */
export function BendGrid({
  tests,
  strong,
}: {
  readonly tests: readonly BendTest[];
  readonly strong: string;
}) {
  const shares = [...new Set(tests.map(({ body }) => body.strongShare))].sort((a, b) => b - a);
  const rows = shares.map((share) => ({
    share,
    strips: tests
      .filter(({ body }) => body.strongShare === share)
      .sort((a, b) => (a.body.number ?? 0) - (b.body.number ?? 0)),
  }));
  const order = rows.flatMap(({ strips }) => strips);
  const firstOpen = order.find(({ body }) => body.result === undefined)?.id;
  const [chosen, setChosen] = useState<string | undefined>();
  const [saving, setSaving] = useState(false);
  const [straight, setStraight] = useState<Straight>('unknown');
  const [hours, setHours] = useState('');
  const [room, setRoom] = useState('');
  const units = useUnits();
  const at = order.find(({ id }) => id === chosen) ?? order.find(({ id }) => id === firstOpen);
  // Another set is shown, or the chosen strip is gone.
  useEffect(() => {
    if (chosen !== undefined && !order.some(({ id }) => id === chosen)) setChosen(undefined);
  }, [chosen, order]);
  const record = async (test: BendTest, result: BendResult) => {
    const seen = seenOf(hours, room, straight, units.temp);
    if (typeof seen === 'string') return showNotice({ text: seen });
    setSaving(true);
    try {
      await sendChange(`Recorded ${nameOf(test)}: ${RESULT_WORDS[result].toLowerCase()}`, [
        change(test, { ...test.body, ...seen, result }),
      ]);
      const place = order.findIndex(({ id }) => id === test.id);
      const later = [...order.slice(place + 1), ...order.slice(0, place)];
      setChosen(later.find(({ body }) => body.result === undefined)?.id);
    } catch (fault) {
      showNotice({ text: wordsOf(fault) });
    } finally {
      setSaving(false);
    }
  };
  return (
    <>
      <div className="bend-grid bench">
        {rows.map(({ share, strips }) => (
          <div key={share} className="bend-row">
            <div className="bend-share">
              <b className="serif">{Math.round(100 * share)} %</b>
              {share === 1 ? <span className="small">{strong}</span> : null}
            </div>
            {strips.map((test) => (
              <button
                key={test.id}
                type="button"
                className="bend-cell"
                aria-pressed={test.id === at?.id}
                aria-label={`${nameOf(test)}: ${stateOf(test, test.id === at?.id)}`}
                onClick={() => setChosen(test.id)}
              >
                <Bent result={test.body.result} />
                <span className="small">{stateOf(test, test.id === at?.id)}</span>
              </button>
            ))}
          </div>
        ))}
      </div>
      {at === undefined ? (
        <p className="soft">All strips have a result. Press one to change its result.</p>
      ) : (
        <section className="bend-results" aria-label="Result">
          <p>
            <b>{nameOf(at)}.</b> After bending:
          </p>
          <div className="bend-buttons bench">
            {RESULTS.map((result) => (
              <button
                key={result}
                type="button"
                className="bend-button"
                disabled={saving}
                onClick={() => void record(at, result)}
              >
                <Bent result={result} />
                <b>{RESULT_WORDS[result]}</b>
              </button>
            ))}
          </div>
          <details className="bend-seen">
            <summary>Came back straight, age and room</summary>
            <div className="hold-ask">
              <Choice
                isLabelled
                label="Came back straight"
                value={straight}
                onChange={setStraight}
                options={STRAIGHT}
              />
              <Field
                label="Hours since the bake"
                value={hours}
                onChange={setHours}
                inputMode="decimal"
              />
              <Field
                label={`Room, °${units.temp}`}
                value={room}
                onChange={setRoom}
                inputMode="decimal"
              />
            </div>
            <p className="soft small">Saved with each result that you press from here on.</p>
          </details>
        </section>
      )}
    </>
  );
}

const STRAIGHT = [
  ['unknown', 'Not looked at'],
  ['yes', 'Yes'],
  ['no', 'No'],
] as const;
type Straight = (typeof STRAIGHT)[number][0];

type Seen = Pick<BendTest['body'], 'ageHours' | 'roomTempC' | 'cameBackStraight'>;

/** What was seen beside the result; in words what cannot be read. */
function seenOf(hours: string, room: string, straight: Straight, temp: 'C' | 'F'): Seen | string {
  const age = numberIn(hours);
  const typed = numberIn(room);
  const roomC = typed === undefined || temp === 'C' ? typed : ((typed - 32) * 5) / 9;
  if (hours.trim() !== '' && !(age !== undefined && age >= 0 && age <= 1e6)) {
    return 'Type the hours since the bake as a number.';
  }
  if (room.trim() !== '' && !(roomC !== undefined && roomC >= -50 && roomC <= 60)) {
    return 'Type the temperature of the room as a number.';
  }
  return {
    ...(age === undefined ? {} : { ageHours: age }),
    ...(roomC === undefined ? {} : { roomTempC: Math.round(10 * roomC) / 10 }),
    ...(straight === 'unknown' ? {} : { cameBackStraight: straight === 'yes' }),
  };
}

/** What is shown below a strip, and read aloud. */
function stateOf({ body }: BendTest, isChosen: boolean): string {
  if (body.result === undefined) return isChosen ? 'your result?' : 'to do';
  if (body.cameBackStraight === undefined) return body.result;
  return `${body.result}, ${body.cameBackStraight ? 'straight' : 'stayed bent'}`;
}

function nameOf({ body }: BendTest): string {
  const strip = body.number === undefined ? '' : `, ${body.specimen.form} ${body.number}`;
  return `${Math.round(100 * body.strongShare)} %${strip}`;
}
