import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import type { BodyOf, RecordOf } from '../../contract/book/record.ts';
import { AppError } from '../../core/errors.ts';
import { codeKey, suggestCodes } from '../../core/recipe/codes.ts';
import { changeBook, make, wordsOf } from '../book/change.ts';
import { client } from '../book/client.ts';
import { tagsFrom } from '../book/tags.ts';
import { Button } from '../parts/button.tsx';
import { Field } from '../parts/field.tsx';
import { Sheet } from '../parts/sheet.tsx';

/** Codes of the newest mixes, the oldest first, and free ones that go on as they do. */
export function useNextCode(): string {
  const { data = '' } = useQuery({
    queryKey: ['mixes', 'codes'],
    queryFn: async () => {
      const { body } = await client.call('listRecords', {
        query: { kind: 'mix', sort: 'created', descending: 'true', limit: 500 },
      });
      const records = body.records as unknown as readonly RecordOf<'mix'>[];
      const codes = records.flatMap(({ body: { code } }) => (code === undefined ? [] : [code]));
      return suggestCodes(codes.reverse(), { count: 1 }).codes[0] ?? '';
    },
  });
  return data;
}

/** Keeps a recipe in the book, under the next free code or another. */
export function KeepMix({
  isOpen,
  onClose,
  onKept,
  body,
  suggestedName,
}: {
  readonly isOpen: boolean;
  readonly onClose: () => void;
  readonly onKept: (mix: RecordOf<'mix'>) => void;
  /** What the mix is, but for what she calls it. */
  readonly body: Omit<BodyOf<'mix'>, 'code' | 'name' | 'tags' | 'note'>;
  readonly suggestedName: string;
}) {
  const nextCode = useNextCode();
  const [code, setCode] = useState<string | undefined>();
  const [name, setName] = useState('');
  const [tags, setTags] = useState('');
  const [note, setNote] = useState('');
  const [no, setNo] = useState<{ readonly code?: string; readonly other?: string }>({});
  const [busy, setBusy] = useState(false);
  const shownCode = code ?? nextCode;
  const keep = async () => {
    setBusy(true);
    setNo({});
    const called = name.trim();
    const tagList = tagsFrom(tags);
    try {
      const [kept] = await changeBook(
        `Kept the mix ${[shownCode, called].filter(Boolean).join(' ')}`,
        [
          make('mix', {
            ...body,
            ...(shownCode.trim() === '' ? {} : { code: shownCode.trim() }),
            ...(called === ''
              ? shownCode.trim() === ''
                ? { name: suggestedName }
                : {}
              : { name: called }),
            ...(tagList.length === 0 ? {} : { tags: tagList }),
            ...(note.trim() === '' ? {} : { note: note.trim() }),
          }),
        ],
      );
      onKept(kept as RecordOf<'mix'>);
      setCode(undefined);
      setName('');
    } catch (fault) {
      const taken = fault instanceof AppError && fault.code === 'code-taken';
      const free = suggestCodes([shownCode], { count: 1 }).codes[0];
      const other = codeKey(free ?? '') === codeKey(shownCode) ? '' : ` ${free} may be free.`;
      setNo(taken ? { code: `${shownCode} is taken.${other}` } : { other: wordsOf(fault) });
    } finally {
      setBusy(false);
    }
  };
  return (
    <Sheet title="Keep this mix" isOpen={isOpen} onClose={onClose}>
      <form
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          void keep();
        }}
      >
        <Field
          label="Code, to stamp into the tile"
          value={shownCode}
          onChange={setCode}
          no={no.code}
          help="The next free one of your own row; write any other."
        />
        <Field
          label="Name"
          value={name}
          onChange={setName}
          placeholder={suggestedName}
          autoFocus
          help="What you would call it. It may stay empty."
        />
        <Field label="Tags" value={tags} onChange={setTags} help="Commas between them." />
        <Field label="Note" value={note} onChange={setNote} rows={2} />
        {no.other === undefined ? null : <p className="field-no">{no.other}</p>}
        <div className="doings">
          <Button kind="main" type="submit" isDisabled={busy}>
            Keep it
          </Button>
          <Button kind="quiet" onPress={onClose}>
            Not now
          </Button>
        </div>
      </form>
    </Sheet>
  );
}
