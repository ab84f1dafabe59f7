import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useRef, useState } from 'react';
import { AppError } from '../../core/errors.ts';
import { codeKey, suggestCodes } from '../../core/notation/codes.ts';
import { saveMixStep } from '../../domain/changes/save-mixes.ts';
import { ofKind } from '../../domain/records/of-kind.ts';
import type { BodyOf, RecordOf } from '../../domain/records/record.ts';
import { sendChange, wordsOf } from '../book/change.ts';
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
  /** A free code that continues the codes of the newest mixes. */
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

/** What the user typed for a mix before saving it. */
interface MixDraft {
  /** The parts of the recipe the text belongs to. */
  readonly of: string;
  readonly name: string;
  readonly tags: string;
  readonly note: string;
}

const NO_MIX_DRAFT: MixDraft = { of: '', name: '', tags: '', note: '' };

function isMixDraft(saved: unknown): saved is MixDraft {
  const one = saved as Record<string, unknown> | null;
  return ['of', 'name', 'tags', 'note'].every((key) => typeof one?.[key] === 'string');
}

/** Saves a recipe in the book, under the next free code or another. */
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
  /** The mix without its code, name, tags and note. */
  readonly body: Omit<BodyOf<'mix'>, 'code' | 'name' | 'tags' | 'note'>;
  readonly suggestedName: string;
}) {
  const nextCode = useNextCode();
  const [code, setCode] = useState<string | undefined>();
  const of = JSON.stringify(body.parts);
  const [draft, setDraft] = useLocalStorage('mix begun', NO_MIX_DRAFT, isMixDraft);
  // The text typed for this recipe is there again after the back button; another recipe starts empty.
  const [{ name, tags, note }, setTyped] = useState(draft.of === of ? draft : NO_MIX_DRAFT);
  const type = (part: Partial<MixDraft>) => {
    const next = { name, tags, note, ...part, of };
    setTyped(next);
    setDraft(next);
  };
  const [no, setNo] = useState<{ readonly code?: string; readonly other?: string }>({});
  const [busy, setBusy] = useState(false);
  const running = useRef(false);
  const twin = useDuplicateRecipe(body, isOpen);
  const shownCode = code ?? nextCode;
  const save = async () => {
    // A second Enter may come before the next rendering.
    if (running.current) return;
    running.current = true;
    setBusy(true);
    setNo({});
    try {
      const [saved] = await sendChange(
        `Saved the mix ${[shownCode, name.trim()].filter(Boolean).join(' ')}`,
        [saveMixStep({ body, code: shownCode, name, suggestedName, tags: tagsFrom(tags), note })],
      );
      onSaved(saved as RecordOf<'mix'>);
      setCode(undefined);
      setTyped(NO_MIX_DRAFT);
      setDraft(NO_MIX_DRAFT);
    } catch (fault) {
      const taken = fault instanceof AppError && fault.code === 'code-taken';
      setNo(taken ? { code: await takenInWords() } : { other: wordsOf(fault) });
    } finally {
      running.current = false;
      setBusy(false);
    }
  };
  /** A suggested code moves on to the next free one; a typed code stays as typed. */
  const takenInWords = async () => {
    const own = code !== undefined;
    const [after] = suggestCodes([shownCode], { count: 1 }).codes;
    const next = await queries.fetchQuery({ ...NEXT_CODE, staleTime: 0 }).catch(() => undefined);
    const free = own ? after : (next ?? after);
    if (free === undefined || codeKey(free) === codeKey(shownCode))
      return `${shownCode} is already used.`;
    if (own) return `${shownCode} is already used. ${free} may be free.`;
    return `${shownCode} has just been used. ${free} is free: press Save again to use it.`;
  };
  return (
    <Dialog title="Save this mix" isOpen={isOpen} onClose={onClose}>
      <Form className="stack" onSend={save}>
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
          label="Code to stamp into the tile"
          value={shownCode}
          onChange={setCode}
          no={no.code}
          help="The next free code. You can type another."
        />
        <Field
          label="Name"
          value={name}
          onChange={(name) => type({ name })}
          placeholder={suggestedName}
          autoFocus
          help="Leave empty to use the code only."
        />
        <Field
          label="Tags"
          value={tags}
          onChange={(tags) => type({ tags })}
          help="Separate with commas"
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
