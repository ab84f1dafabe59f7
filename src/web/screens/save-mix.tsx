import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useRef, useState } from 'react';
import { AppError } from '../../core/errors.ts';
import { codeKey, suggestCodes } from '../../core/notation/codes.ts';
import { make } from '../../domain/changes/steps.ts';
import { ofKind } from '../../domain/records/of-kind.ts';
import type { BodyOf, RecordOf } from '../../domain/records/record.ts';
import { changeBook, wordsOf } from '../book/change.ts';
import { client } from '../book/client.ts';
import { useDuplicateRecipe } from '../book/duplicate-recipe.ts';
import { useLocalStorage } from '../book/local-storage-state.ts';
import { queries } from '../book/queries.ts';
import { tagsFrom } from '../book/tags.ts';
import { Button } from '../parts/button.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { Field } from '../parts/field.tsx';
import { Form } from '../parts/form.tsx';

const NEXT_CODE = {
  queryKey: ['mixes', 'codes'],
  /** From the codes of the newest mixes, the oldest first, a free one that goes on as they do. */
  queryFn: async () => {
    const { body } = await client.call('listRecords', {
      query: { kind: 'mix', sort: 'created', descending: 'true', limit: 500 },
    });
    const codes = ofKind(body.records, 'mix').flatMap(({ body: { code } }) =>
      code === undefined ? [] : [code],
    );
    return suggestCodes(codes.reverse(), { count: 1 }).codes[0] ?? '';
  },
};

function useNextCode(): string {
  return useQuery(NEXT_CODE).data ?? '';
}

/** What she typed of a mix before it was kept. */
interface BlockDrafts {
  /** Its parts, so that no name slips onto another recipe. */
  readonly of: string;
  readonly name: string;
  readonly tags: string;
  readonly note: string;
}

const NO_BLOCK_DRAFTS: BlockDrafts = { of: '', name: '', tags: '', note: '' };

function hasBlockDrafts(kept: unknown): kept is BlockDrafts {
  const one = kept as Record<string, unknown> | null;
  return ['of', 'name', 'tags', 'note'].every((key) => typeof one?.[key] === 'string');
}

/** Keeps a recipe in the book, under the next free code or another. */
export function SaveMix({
  isOpen,
  onClose,
  onSaved,
  body,
  suggestedName,
}: {
  readonly isOpen: boolean;
  readonly onClose: () => void;
  readonly onSaved: (mix: RecordOf<'mix'>) => void;
  /** What the mix is, but for what she calls it. */
  readonly body: Omit<BodyOf<'mix'>, 'code' | 'name' | 'tags' | 'note'>;
  readonly suggestedName: string;
}) {
  const nextCode = useNextCode();
  const [code, setCode] = useState<string | undefined>();
  const of = JSON.stringify(body.parts);
  const [begun, setBegun] = useLocalStorage('mix begun', NO_BLOCK_DRAFTS, hasBlockDrafts);
  // What was typed of this very recipe is there again after the back button; another begins empty.
  const [{ name, tags, note }, setTyped] = useState(begun.of === of ? begun : NO_BLOCK_DRAFTS);
  const type = (part: Partial<BlockDrafts>) => {
    const next = { name, tags, note, ...part, of };
    setTyped(next);
    setBegun(next);
  };
  const [no, setNo] = useState<{ readonly code?: string; readonly other?: string }>({});
  const [busy, setBusy] = useState(false);
  const running = useRef(false);
  const twin = useDuplicateRecipe(body, isOpen);
  const shownCode = code ?? nextCode;
  const keep = async () => {
    // Enter pressed twice comes before anything is drawn anew.
    if (running.current) return;
    running.current = true;
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
      onSaved(kept as RecordOf<'mix'>);
      setCode(undefined);
      setTyped(NO_BLOCK_DRAFTS);
      setBegun(NO_BLOCK_DRAFTS);
    } catch (fault) {
      const taken = fault instanceof AppError && fault.code === 'code-taken';
      setNo(taken ? { code: await takenInWords() } : { other: wordsOf(fault) });
    } finally {
      running.current = false;
      setBusy(false);
    }
  };
  /** A code she left to the book goes on to the next free one; one she wrote stays as she wrote it. */
  const takenInWords = async () => {
    const own = code !== undefined;
    const [after] = suggestCodes([shownCode], { count: 1 }).codes;
    const next = await queries.fetchQuery({ ...NEXT_CODE, staleTime: 0 }).catch(() => undefined);
    const free = own ? after : (next ?? after);
    if (free === undefined || codeKey(free) === codeKey(shownCode)) return `${shownCode} is taken.`;
    if (own) return `${shownCode} is taken. ${free} may be free.`;
    return `${shownCode} was taken meanwhile; ${free} is free now. Press again to keep it so.`;
  };
  return (
    <Dialog title="Save this mix" isOpen={isOpen} onClose={onClose}>
      <Form className="stack" onSend={keep}>
        {twin === undefined ? null : (
          <p role="status">
            You already have this recipe:{' '}
            <Link to="/book/$id" params={{ id: twin.id }}>
              {[twin.body.code, twin.body.name].filter(Boolean).join(' ')}
            </Link>
            . You can still save it again.
          </p>
        )}
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
          onChange={(name) => type({ name })}
          placeholder={suggestedName}
          autoFocus
          help="What you would call it. Left empty, the code alone stands for it."
        />
        <Field
          label="Tags"
          value={tags}
          onChange={(tags) => type({ tags })}
          help="Commas between them."
        />
        <Field label="Note" value={note} onChange={(note) => type({ note })} rows={2} />
        {no.other === undefined ? null : <p className="field-no">{no.other}</p>}
        <div className="actions">
          <Button kind="main" type="submit" isDisabled={busy}>
            Save
          </Button>
          <Button kind="quiet" onPress={onClose}>
            Cancel
          </Button>
        </div>
      </Form>
    </Dialog>
  );
}
