import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { inARow } from '../../../core/in-a-row.ts';
import { sentenceStart } from '../../../core/sentence-start.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { sendChange, wordsOf } from '../../book/change.ts';
import { useColours } from '../../book/colours.ts';
import { useBlockNames } from '../../book/names.ts';
import { useAll } from '../../book/queries.ts';
import { useUnits } from '../../book/units.ts';
import { dayInWords } from '../../book/when-in-words.ts';
import { labInAddress } from '../../colour/lab-in-address.ts';
import { spokenColour } from '../../colour/spoken-colour.ts';
import { Block, leftInWords } from '../../parts/block.tsx';
import { Button } from '../../parts/button.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { effectOf } from '../block-types.ts';
import { CountForm } from './count-form.tsx';
import { EditBlock } from './edit-block.tsx';
import { Handling } from './handling.tsx';
import { moneyInWords } from './money.ts';
import { amountInWords, type OnHand } from './on-hand.ts';
import { Purchases } from './purchases.tsx';
import { TakeOwn } from './take-own.tsx';
import { TouchedMixes } from './touched-mixes.tsx';
import { WhyNotAsRead } from './why-not-as-read.tsx';

/** One block: its amount, price and box, and its forms. */
export function BlockDialog({
  block,
  onHand,
  onClose,
}: {
  readonly block: RecordOf<'block'>;
  readonly onHand: OnHand | undefined;
  readonly onClose: () => void;
}) {
  const units = useUnits();
  const known = useColours().of(block.id);
  const { lineOf } = useBlockNames();
  const boxes = useAll('box').records.filter(({ body }) =>
    body.holds.some(({ of }) => of.id === block.id),
  );
  const [editing, setEditing] = useState(false);
  const [no, setNo] = useState<string | undefined>();
  const { name, code, price, status } = block.body;
  const left = leftInWords(onHand?.grams, block.body.packageG);
  const bin = async () => {
    try {
      await sendChange(`Deleted the block ${name}`, [
        { do: 'delete', id: block.id, version: block.version },
      ]);
      onClose();
    } catch (fault) {
      setNo(wordsOf(fault));
    }
  };
  return (
    <Dialog title={[code, name].filter(Boolean).join(' ')} isOpen onClose={onClose}>
      <div className="block-large bench">
        <Block
          name={name}
          lab={known?.lab}
          packageG={block.body.packageG}
          leftG={onHand?.grams}
          effect={effectOf(block.body.clayType)}
        />
        <p>
          {lineOf(block.id)}
          {known === undefined ? '' : `, ${spokenColour(known.lab)}`}.{' '}
          {known === undefined
            ? 'No colour yet.'
            : known.readingKind === 'measured'
              ? `Measured, ${known.state}.`
              : `Colour ${known.readingKind}, ${known.state}.`}
          {status === 'discontinued' ? ' Discontinued.' : ''}
          {status === 'not owned' ? ' Not yours: it came with a recipe of somebody else.' : ''}
        </p>
      </div>
      {status === 'not owned' ? <TakeOwn block={block} onDone={onClose} /> : null}
      <WhyNotAsRead blockId={block.id} />
      {editing ? (
        <EditBlock block={block} onDone={() => setEditing(false)} />
      ) : (
        <>
          <p>
            <b>{sentenceStart(amountInWords(onHand, units))}</b>
            {left === '' ? '' : ` (${left})`}
            {onHand === undefined ? (
              ''
            ) : (
              <span className="soft"> on {dayInWords(onHand.asOf)}</span>
            )}
            {price === undefined ? '' : `; ${moneyInWords(price)} per package`}
            {boxes.length === 0 ? '' : `; in ${inARow(boxes.map(({ body }) => body.lid))}`}.
          </p>
          <CountForm block={block} />
          <TouchedMixes blockId={block.id} name={name} />
          <Purchases block={block} />
          <section className="stack" aria-label="Handling">
            <h3>Handling</h3>
            <Handling of={{ kind: 'block', id: block.id, name: block.body.name }} />
          </section>
          {no === undefined ? null : <p className="field-no">{no}</p>}
          <div className="actions">
            <Button onPress={() => setEditing(true)}>Edit</Button>
            {known === undefined ? null : (
              <Link
                className="button"
                to="/find"
                search={{
                  aim: labInAddress(known.lab),
                  called: name,
                  block: block.id,
                }}
              >
                Find a recipe from other clays
              </Link>
            )}
            <Button kind="quiet" onPress={() => bin()}>
              Delete block
            </Button>
          </div>
        </>
      )}
      <div className="actions">
        <Button kind="quiet" onPress={onClose}>
          Close
        </Button>
      </div>
    </Dialog>
  );
}
