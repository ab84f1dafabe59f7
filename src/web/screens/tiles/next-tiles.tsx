import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useEffect, useState } from 'react';
import type { Lab } from '../../../core/colour/triples.ts';
import type { OpenClays } from '../../book/clays.ts';
import { useJob } from '../../book/job.ts';
import { useLocalStorage } from '../../book/local-storage-state.ts';
import { Button } from '../../parts/button.tsx';
import { Part } from '../../parts/field.tsx';
import { JobLine } from '../../parts/job-line.tsx';
import { PieceBar } from '../../parts/piece-bar.tsx';
import { recipeInWords } from '../../parts/piece-group.ts';
import { Tile } from '../../parts/tile.tsx';
import type { Prediction, Share } from '../../workers/messages.ts';
import { AddTile } from '../add-tile.tsx';
import { recipeForAddress } from '../mixing/recipe-in-address.ts';

interface SuggestedTile {
  readonly parts: readonly { readonly clay: string; readonly parts: number }[];
  readonly sentence: string;
  /** The clay the tile says most about, and what of it. */
  readonly tellsOf: string;
  readonly what: keyof typeof BRINGS;
}

/** What a tile brings, in a few words; the sentence in full is behind *Why these*. */
const BRINGS = {
  colour: (clay: string) => `The colour of ${clay}`,
  scattering: (clay: string) => `How well ${clay} covers`,
  strength: (clay: string) => `How strong ${clay} is`,
  mix: (clay: string) => `How ${clay} mixes`,
} as const;

interface NextTileResult {
  readonly tiles?: readonly SuggestedTile[];
  readonly lookAt?: readonly { readonly sentence: string }[];
  readonly how?: string;
}

/** The tiles suggested after one update of the model: worked out once, then saved on this device. */
interface Suggested {
  readonly modelId: string;
  readonly tiles: readonly SuggestedTile[];
  /** Tiles to look at first: they may be wrong. */
  readonly lookAt: readonly string[];
  /** What kind of choice this was. */
  readonly how: string;
}

/** A suggested tile that is read now, and the colour predicted of it. */
interface Baked {
  readonly tile: SuggestedTile;
  readonly start: Lab | undefined;
}

const SHOWN = 3;
const NONE: Suggested = { modelId: '', tiles: [], lookAt: [], how: '' };

function isSuggested(saved: unknown): saved is Suggested {
  const one = saved as Partial<Suggested> | null;
  return (
    typeof one?.modelId === 'string' &&
    typeof one.how === 'string' &&
    Array.isArray(one.lookAt) &&
    Array.isArray(one.tiles) &&
    one.tiles.every(
      ({ parts, sentence, what }) =>
        Array.isArray(parts) && typeof sentence === 'string' && Object.hasOwn(BRINGS, what ?? ''),
    )
  );
}

/** Which tiles to bake next, as they will look, and what each brings. */
export function NextTiles({
  clays,
  names,
}: {
  readonly clays: OpenClays | undefined;
  readonly names: (id: string) => string;
}) {
  if (clays === undefined) return null;
  if (clays.modelId === undefined) {
    return (
      <Part title="Bake these first">
        <p>
          One plain tile of each clay, then one of 1 part clay + 9 parts white. Then update the
          model, and the next tiles are suggested here.
        </p>
      </Part>
    );
  }
  return <Suggestions clays={clays} modelId={clays.modelId} names={names} />;
}

function Suggestions({
  clays,
  modelId,
  names,
}: {
  readonly clays: OpenClays;
  readonly modelId: string;
  readonly names: (id: string) => string;
}) {
  const [saved, setSaved] = useLocalStorage('tiles to bake', NONE, isSuggested);
  const job = useJob(({ result }) => {
    const { tiles, lookAt = [], how = '' } = (result ?? {}) as NextTileResult;
    if (tiles !== undefined) {
      setSaved({ modelId, tiles, lookAt: lookAt.map(({ sentence }) => sentence), how });
    }
  }, 'next-tile');
  const known = saved.modelId === modelId;
  const [asked, setAsked] = useState(known);
  const { start } = job;
  // biome-ignore lint/correctness/useExhaustiveDependencies: asked once after an update of the model
  useEffect(() => {
    if (asked || known) return;
    setAsked(true);
    start({ do: 'next-tile', clayModelId: modelId });
  }, [asked, known, modelId]);
  const [baked, setBaked] = useState<Baked | undefined>();
  const tiles = saved.tiles.slice(0, SHOWN);
  if (known && tiles.length === 0) return null;
  return (
    <section className="bench next-tiles" aria-label="Bake these three next">
      <h2>{tiles.length === 1 ? 'Bake this one next' : 'Bake these three next'}</h2>
      {known && saved.lookAt.length > 0 ? (
        <p className="small warning">
          <span>
            First: {saved.lookAt.join(' ')}{' '}
            <Link to="/clay-model">Why these tiles may be wrong</Link>
          </span>
        </p>
      ) : null}
      {known ? (
        <ol className="next-cards">
          {tiles.map((tile) => (
            <NextTile
              key={JSON.stringify(tile.parts)}
              tile={tile}
              clays={clays}
              names={names}
              onBaked={setBaked}
            />
          ))}
        </ol>
      ) : (
        <JobLine here={job} what="Working out which tiles help most" />
      )}
      {known ? (
        <details className="small">
          <summary>Why these</summary>
          <ul className="findings">
            {tiles.map(({ sentence }) => (
              <li key={sentence}>{sentence}</li>
            ))}
            {saved.how === '' ? null : <li>{saved.how}</li>}
          </ul>
        </details>
      ) : null}
      {baked === undefined ? null : (
        <AddTile
          of={{ parts: partsOf(baked.tile, clays, names)! }}
          code={undefined}
          title={recipeInWords(baked.tile.parts)}
          basis={clays.worker.basis}
          start={baked.start}
          onClose={() => setBaked(undefined)}
        />
      )}
    </section>
  );
}

function NextTile({
  tile,
  clays,
  names,
  onBaked,
}: {
  readonly tile: SuggestedTile;
  readonly clays: OpenClays;
  readonly names: (id: string) => string;
  readonly onBaked: (baked: Baked) => void;
}) {
  const blockOf = (clay: string) => clays.blocks.find(({ blockId }) => names(blockId) === clay);
  const shares = tile.parts.flatMap(({ clay, parts }): Share[] => {
    const block = blockOf(clay);
    return block === undefined ? [] : [{ clay: block.clay, parts }];
  });
  const whole = shares.length === tile.parts.length;
  const { data } = useQuery({
    queryKey: ['clays', 'next tile', clays.modelId, shares],
    queryFn: (): Promise<Prediction> => clays.worker.predict(shares),
    enabled: whole,
  });
  const words = recipeInWords(tile.parts);
  const made = partsOf(tile, clays, names)?.map(({ of, parts }) => ({ blockId: of.id, parts }));
  return (
    <li>
      <Tile lab={data?.lab} name={words} coming={whole} />
      <span className="pieces" data-size="card">
        <PieceBar
          groups={tile.parts.map(({ clay, parts }) => ({
            id: clay,
            name: clay,
            lab: blockOf(clay)?.lab,
            parts,
          }))}
        />
      </span>
      <b>{words}</b>
      <p className="small">{BRINGS[tile.what](tile.tellsOf)}</p>
      {made === undefined ? null : (
        <div className="actions">
          <Link
            className="button"
            aria-label={`Mix it: ${words}`}
            to="/mixing"
            search={recipeForAddress(made, clays.worker.basis, { words })}
          >
            Mix it
          </Link>
          <Button
            aria-label={`Baked? Read it: ${words}`}
            onPress={() => onBaked({ tile, start: data?.lab })}
          >
            Baked? Read it
          </Button>
        </div>
      )}
    </li>
  );
}

/** The parts as the book saves them; undefined if a clay was deleted. */
function partsOf(
  { parts }: SuggestedTile,
  clays: OpenClays,
  names: (id: string) => string,
): { of: { kind: 'block'; id: string }; parts: number }[] | undefined {
  const known = parts.flatMap((part) => {
    const block = clays.blocks.find(({ blockId }) => names(blockId) === part.clay);
    return block === undefined
      ? []
      : [{ of: { kind: 'block' as const, id: block.blockId }, parts: part.parts }];
  });
  return known.length === parts.length ? known : undefined;
}
