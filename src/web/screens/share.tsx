import '../look/share.css';
import { useQuery } from '@tanstack/react-query';
import { Link, useSearch } from '@tanstack/react-router';
import { useState } from 'react';
import { LICENCES, type LicenceId, licenceOf } from '../../domain/share/licences.ts';
import { wordsOf } from '../book/change.ts';
import { client } from '../book/client.ts';
import { titleOfMix } from '../book/names.ts';
import { useAll, useRecord } from '../book/queries.ts';
import { Button } from '../parts/button.tsx';
import { Field, Part, Pick } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { Tick } from '../parts/tick.tsx';
import { useSettings, withField } from './settings/use-settings.ts';
import { CardsToSave } from './share/cards-to-save.tsx';
import { saveFile } from './share/save-file.ts';
import type { Sharing } from './share/sharing.ts';
import { SheetsPart } from './share/sheets-part.tsx';

/** How do others repeat it? Recipes as a file, as cards, as a page, and on paper. */
export function ShareRecipes() {
  const { mix } = useSearch({ strict: false });
  const { body } = useSettings();
  return body.sharer === undefined ? (
    <WhoShares mix={mix} key="who" />
  ) : (
    <Shared mix={mix} key={body.sharer.author} />
  );
}

/** Nothing leaves without a name: the first visit asks for it. */
function WhoShares({ mix }: { readonly mix: string | undefined }) {
  return (
    <div className="screen share">
      <header>
        <h1>Share recipes</h1>
      </header>
      <p className="lead">
        Nothing leaves your computer until you save a file here and give it away yourself. Your name
        goes with everything you share.
      </p>
      <Sharer />
      {mix === undefined ? null : <p className="soft small">Then you can share this mix.</p>}
    </div>
  );
}

function Sharer() {
  const { body, keep } = useSettings();
  const { sharer } = body;
  const [author, setAuthor] = useState(sharer?.author ?? '');
  const [link, setLink] = useState(sharer?.link ?? '');
  const [words, setWords] = useState(sharer?.words ?? '');
  const [licence, setLicence] = useState<LicenceId>(sharer?.licence ?? 'ask-me');
  const save = () =>
    keep(
      'Saved what goes with shared recipes',
      withField(body, 'sharer', {
        author: author.trim(),
        ...(link.trim() === '' ? {} : { link: link.trim() }),
        ...(words.trim() === '' ? {} : { words: words.trim() }),
        licence,
      }),
    );
  return (
    <Part title="From you" look="share-who">
      <Field label="Your name" value={author} onChange={setAuthor} />
      <Field label="Where people find you" value={link} onChange={setLink} />
      <Field label="A few words" rows={3} value={words} onChange={setWords} />
      <Pick
        label="What others may do"
        value={licence}
        onChange={setLicence}
        options={LICENCES.map(({ id, name }) => [id, name] as const)}
        help={licenceOf(licence).says}
      />
      <p className="soft small">
        A recipe as such may not be protected; words and pictures are. Ask people before you name
        them, and leave children out.
      </p>
      <div className="actions">
        <Button kind="main" isDisabled={author.trim() === ''} onPress={() => save()}>
          Save
        </Button>
      </div>
    </Part>
  );
}

function Shared({ mix }: { readonly mix: string | undefined }) {
  const { body } = useSettings();
  const { record } = useRecord(mix);
  const palettes = useAll('palette').records;
  const [which, setWhich] = useState(mix === undefined ? 'all' : 'mix');
  const [edits, setEdits] = useState(false);
  const sharer = body.sharer!;
  const mixes =
    which === 'mix' && mix !== undefined
      ? { mixIds: [mix] }
      : which.startsWith('palette ')
        ? { paletteId: which.slice('palette '.length) }
        : ({ all: true } as const);
  const sharing: Sharing = { ...sharer, mixes };
  const title = record?.kind === 'mix' ? titleOfMix(record) : 'This mix';
  return (
    <div className="screen share">
      <header className="head-line">
        <h1>Share recipes</h1>
        <Link className="button" data-kind="quiet" to="/settings/$page" params={{ page: 'files' }}>
          Import recipes of others
        </Link>
      </header>
      <div className="share-ask">
        <Pick
          label="Recipes"
          value={which}
          onChange={setWhich}
          options={[
            ...(mix === undefined ? [] : [['mix', title] as const]),
            ['all', 'All my mixes'],
            ...palettes.map(({ id, body }) => [`palette ${id}`, `Palette ${body.name}`] as const),
          ]}
        />
        <p>
          By {sharer.author}. {licenceOf(sharer.licence).name}.{' '}
          <Button kind="quiet" onPress={() => setEdits(!edits)}>
            {edits ? 'Close' : 'Change'}
          </Button>
        </p>
      </div>
      {edits ? <Sharer /> : null}
      <div className="share-parts">
        <FilePart sharing={sharing} />
        <CardsToSave sharing={sharing} one={which === 'mix'} />
        <SheetsPart sharing={sharing} />
      </div>
    </div>
  );
}

/** What leaves with a choice, in words. */
function useLeaves(choice: Parameters<typeof client.call<'previewShare'>>[1]['body']) {
  return useQuery({
    queryKey: ['share', choice],
    queryFn: async () => (await client.call('previewShare', { body: choice })).body,
    staleTime: 0,
  });
}

/** A share file and a page of one's own, with what leaves in words. */
function FilePart({ sharing }: { readonly sharing: Sharing }) {
  const [withNotes, setNotes] = useState(false);
  const [withTags, setTags] = useState(false);
  const [withPrices, setPrices] = useState(false);
  const [withReadings, setReadings] = useState(false);
  const [withPhotos, setPhotos] = useState(false);
  const [withWishes, setWishes] = useState(false);
  const [title, setTitle] = useState('Recipes');
  const [busy, setBusy] = useState('');
  const choice = {
    ...sharing,
    title: title.trim() === '' ? 'Recipes' : title.trim(),
    withNotes,
    withTags,
    withPrices,
    withReadings,
    withPhotos,
    withWishes,
  };
  const { data, error } = useLeaves(choice);
  const { data: onPage } = useLeaves({ ...choice, clays: 'learned' });
  const more = onPage?.leaves.filter((line) => data?.leaves.includes(line) !== true) ?? [];
  const save = async (what: 'makeShare' | 'publishPage', name: string) => {
    setBusy(what);
    await saveFile(() => client.call(what, { body: choice }), name);
    setBusy('');
  };
  return (
    <>
      <Part title="For another Kneadwell">
        <Field label="Title" value={title} onChange={setTitle} />
        <div className="share-ticks">
          <Tick isSelected={withNotes} onChange={setNotes}>
            With my notes
          </Tick>
          <Tick isSelected={withTags} onChange={setTags}>
            With my tags
          </Tick>
          <Tick isSelected={withPrices} onChange={setPrices}>
            With prices
          </Tick>
          <Tick isSelected={withReadings} onChange={setReadings}>
            With every colour I read
          </Tick>
          <Tick isSelected={withPhotos} onChange={setPhotos}>
            With a photo of each mix
          </Tick>
          <Tick isSelected={withWishes} onChange={setWishes}>
            With my wish list
          </Tick>
        </div>
        {error === null ? null : <p className="warning">{wordsOf(error)}</p>}
        {data === undefined ? (
          error === null ? (
            <JobProgress what="Looking at what leaves" />
          ) : null
        ) : (
          <div aria-live="polite">
            <h3>This leaves</h3>
            <ul className="share-leaves">
              {data.leaves.map((line) => (
                <li key={line}>{line}</li>
              ))}
            </ul>
            <p className="soft small">It stays with you: {data.stays.join(', ')}.</p>
          </div>
        )}
        <div className="actions">
          <Button
            kind="main"
            isDisabled={data === undefined || busy !== ''}
            onPress={() => save('makeShare', 'recipes.share.json')}
          >
            Save the share file
          </Button>
        </div>
      </Part>
      <Part title="A page of your own">
        <p>
          A folder of plain files for any web host. Readers tick the clays they own and see every
          recipe for those. The page asks nothing of any server.
        </p>
        {more.length === 0 ? null : (
          <>
            <p>So that readers can use other clays, this leaves too:</p>
            <ul className="share-leaves">
              {more.map((line) => (
                <li key={line}>{line}</li>
              ))}
            </ul>
          </>
        )}
        <div className="actions">
          <Button
            isDisabled={onPage === undefined || busy !== ''}
            onPress={() => save('publishPage', 'my-page.zip')}
          >
            Save the page (ZIP)
          </Button>
        </div>
        {busy === 'publishPage' ? <JobProgress what="Making the page" /> : null}
      </Part>
    </>
  );
}
