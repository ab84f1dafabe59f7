import { useQuery } from '@tanstack/react-query';
import { Link, useNavigate } from '@tanstack/react-router';
import { type ReactNode, useEffect, useState } from 'react';
import { inARow } from '../../../core/in-a-row.ts';
import { type ClaysState, useClays } from '../../book/clays.ts';
import { client } from '../../book/client.ts';
import { useColours } from '../../book/colours.ts';
import { idle } from '../../book/idle.ts';
import { useLocalStorage } from '../../book/local-storage-state.ts';
import { useBlockNames } from '../../book/names.ts';
import { useAll } from '../../book/queries.ts';
import { FIRST_AIM, FIRST_REQUEST, isFindRequest } from '../../find/find-request.ts';
import { Block, leftInWords, shareLeft } from '../../parts/block.tsx';
import { Button } from '../../parts/button.tsx';
import { Field } from '../../parts/field.tsx';
import { Form } from '../../parts/form.tsx';
import { Tile } from '../../parts/tile.tsx';
import { useOnHand } from '../stock/on-hand.ts';

/** One of the questions people come with: a picture that answers half of it, and where to go on. */
function Question({
  title,
  picture,
  children,
}: {
  readonly title: string;
  readonly picture: ReactNode;
  readonly children: ReactNode;
}) {
  return (
    <section className="question" aria-label={title}>
      <h2>{title}</h2>
      <div className="question-picture">{picture}</div>
      <div className="question-words">{children}</div>
    </section>
  );
}

/** A place where something will be. */
const Hatched = ({ of = 1 }: { readonly of?: number }) => (
  <span className="hatched" aria-hidden="true">
    {Array.from({ length: of }, (_, i) => (
      // biome-ignore lint/suspicious/noArrayIndexKey: empty places are alike
      <span key={i} className="no-colour" />
    ))}
  </span>
);

export function WhatGivesThisColour({ usable }: { readonly usable: boolean }) {
  const [{ aim = FIRST_AIM }] = useLocalStorage('find', FIRST_REQUEST, isFindRequest);
  return (
    <Question
      title="What gives this colour?"
      picture={
        <>
          <Tile lab={aim.lab} name="The colour you want" />
          <Hatched of={5} />
        </>
      }
    >
      <p className="small">
        {usable
          ? aim.words === FIRST_AIM.words
            ? 'Choose any colour.'
            : `Last wanted: ${aim.words}.`
          : 'Works with two blocks, roughly. Surer with tiles.'}
      </p>
      <div className="actions">
        <Link
          className="button"
          data-kind={usable ? 'main' : 'plain'}
          to="/find"
          search={{ way: 'picture' }}
        >
          Use a picture
        </Link>
        <Link className="button" to="/find">
          Find a recipe
        </Link>
      </div>
    </Question>
  );
}

/** Mixes shown: greens, then the newest. */
const LATEST = 8;

export function WhatWasThatGreen() {
  const navigate = useNavigate();
  const [text, setText] = useState('');
  const { data: latest } = useQuery({
    queryKey: ['mixes', 'list', 'latest', LATEST],
    queryFn: async () =>
      (await client.call('mixList', { query: { descending: 'true', limit: LATEST } })).body,
  });
  const { data: greens } = useQuery({
    queryKey: ['mixes', 'list', 'greens', LATEST],
    queryFn: async () =>
      (
        await client.call('mixList', {
          query: { colour: 'green', descending: 'true', limit: LATEST },
        })
      ).body,
  });
  const green = (greens?.rows ?? []).slice(0, LATEST / 2);
  const isGreen = new Set(green.map(({ id }) => id));
  const mixes = [...green, ...(latest?.rows ?? []).filter(({ id }) => !isGreen.has(id))].slice(
    0,
    LATEST,
  );
  const search = () => navigate({ to: '/book', search: text.trim() === '' ? {} : { find: text } });
  return (
    <Question
      title="What was that green?"
      picture={
        latest === undefined ? (
          <span className="hatched" aria-hidden="true">
            {Array.from({ length: LATEST }, (_, i) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: places to come are alike
              <span key={i} className="tile-coming" />
            ))}
          </span>
        ) : mixes.length === 0 ? (
          <Hatched of={LATEST} />
        ) : (
          <ul className="latest">
            {mixes.map((mix) => (
              <li key={mix.id} className="mix-link">
                <Link to="/book/$id" params={{ id: mix.id }}>
                  <Tile lab={mix.lab} name={mix.name ?? mix.code ?? 'a mix'} />
                  <span className="small">{mix.name ?? mix.code}</span>
                </Link>
              </li>
            ))}
          </ul>
        )
      }
    >
      {mixes.length === 0 ? null : (
        <Form className="question-ask" onSend={search}>
          <Field
            label="Search the mix book"
            placeholder="green, starfish, K7"
            value={text}
            onChange={setText}
          />
          <Button type="submit">Search</Button>
        </Form>
      )}
      {latest === undefined ? (
        <p className="small soft">Looking through your mix book …</p>
      ) : mixes.length === 0 ? (
        <div className="actions">
          <Link className="button" to="/book/write">
            Paste my notes
          </Link>
        </div>
      ) : (
        <p className="small soft">{latest?.total ?? mixes.length} mixes in the book.</p>
      )}
    </Question>
  );
}

/** The clays are opened when the rest of the screen has been drawn. */
export function WhichTileNext() {
  const [drawn, setDrawn] = useState(false);
  useEffect(() => {
    idle()
      .then(() => setDrawn(true))
      .catch(() => {});
  }, []);
  return drawn ? <TileOfClays /> : <LeastKnown clays={{ state: 'opening' }} />;
}

function TileOfClays() {
  return <LeastKnown clays={useClays()} />;
}

function LeastKnown({ clays }: { readonly clays: ClaysState }) {
  const { nameOf } = useBlockNames();
  const open = clays.state === 'open' ? clays.clays : undefined;
  const least = open?.blocks.toSorted((one, other) => other.plusMinus - one.plusMinus)[0];
  return (
    <Question
      title="Which tile next?"
      picture={
        clays.state === 'opening' ? (
          <Tile lab={undefined} name="The tile to bake next" coming />
        ) : least === undefined ? (
          <Hatched of={2} />
        ) : (
          <Tile lab={least.lab} name={nameOf(least.blockId)} />
        )
      }
    >
      <p className="small">
        {clays.state === 'opening'
          ? 'Looking through your clays …'
          : least === undefined
            ? 'Bake a plain tile of each clay first.'
            : open?.rough === true
              ? 'Bake a plain tile of each clay. Every tile makes recipes surer.'
              : `${nameOf(least.blockId)} is known least.`}
      </p>
      <div className="actions">
        <Link className="button" to="/tiles/photo">
          Baked? Read it
        </Link>
      </div>
    </Question>
  );
}

/** Blocks shown, and the share below which one runs low. */
const MOST_LOW = 3;
const LOW = 0.75;

export function WhatRunsLow() {
  const blocks = useAll('block');
  const colours = useColours();
  const onHand = useOnHand();
  const low = blocks.records
    .flatMap(({ id, body }) => {
      const leftG = onHand?.get(id)?.grams;
      const share = shareLeft(leftG, body.packageG);
      return leftG === undefined || share >= LOW ? [] : [{ id, body, leftG, share }];
    })
    .toSorted((one, other) => one.share - other.share)
    .slice(0, MOST_LOW);
  return (
    <Question
      title="What runs low?"
      picture={
        <ul className="low">
          {onHand === undefined ? null : low.length === 0 ? (
            <li className="bench">
              <Block name="Nothing" lab={undefined} />
            </li>
          ) : (
            low.map(({ id, body, leftG }) => (
              <li key={id} className="bench">
                <Block
                  name={body.name}
                  lab={colours.of(id)?.lab}
                  packageG={body.packageG}
                  leftG={leftG}
                />
                <span className="small">
                  {body.name}
                  <br />
                  {leftInWords(leftG, body.packageG)}
                </span>
              </li>
            ))
          )}
        </ul>
      }
    >
      <p className="small">
        {low.length > 0
          ? `${inARow(low.map(({ body }) => body.name))}.`
          : onHand === undefined
            ? 'Looking through your stock …'
            : onHand.size === 0
              ? 'Nothing is counted yet.'
              : 'Nothing runs low.'}
      </p>
      <div className="actions">
        <Link className="button" to="/stock">
          Open stock
        </Link>
      </div>
    </Question>
  );
}
