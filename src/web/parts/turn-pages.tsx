import { useState } from 'react';
import { Button } from './button.tsx';
import { Field } from './field.tsx';
import { Form } from './form.tsx';

/** From so many pages on, a list has first, last and a number to go to. */
const LONG_LIST_PAGES = 5;

/** Pages of a long list: previous, next, or straight to a row. */
export function TurnPages({
  total,
  each,
  page,
  onTurn,
}: {
  readonly total: number;
  /** Rows per page. */
  readonly each: number;
  /** From 0. */
  readonly page: number;
  readonly onTurn: (page: number) => void;
}) {
  const [row, setRow] = useState('');
  const last = Math.ceil(total / each) - 1;
  if (last < 1) return null;
  const isLong = last >= LONG_LIST_PAGES;
  const go = () => {
    const wanted = Number(row.replace(/[\s,.]/g, ''));
    if (Number.isInteger(wanted) && wanted >= 1) {
      onTurn(Math.floor((Math.min(wanted, total) - 1) / each));
    }
  };
  const from = page * each + 1;
  const to = Math.min(total, from + each - 1);
  return (
    <div className="turn-pages">
      <span>
        {from.toLocaleString('en')} to {to.toLocaleString('en')} of {total.toLocaleString('en')}
      </span>
      <span className="actions">
        {isLong ? (
          <Button isDisabled={page === 0} onPress={() => onTurn(0)}>
            First
          </Button>
        ) : null}
        <Button isDisabled={page === 0} onPress={() => onTurn(page - 1)}>
          Previous
        </Button>
        <Button isDisabled={page >= last} onPress={() => onTurn(page + 1)}>
          Next
        </Button>
        {isLong ? (
          <Button isDisabled={page >= last} onPress={() => onTurn(last)}>
            Last
          </Button>
        ) : null}
      </span>
      {isLong ? (
        <Form onSend={go}>
          <Field label="Go to number" value={row} onChange={setRow} inputMode="numeric" />
        </Form>
      ) : null}
    </div>
  );
}
