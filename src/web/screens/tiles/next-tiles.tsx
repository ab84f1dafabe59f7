import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import type { OpenClays } from '../../book/clays.ts';
import { useJob } from '../../book/job.ts';
import { Button } from '../../parts/button.tsx';
import { Part } from '../../parts/field.tsx';
import { JobLine } from '../../parts/job-line.tsx';
import { Pieces } from '../../parts/pieces.tsx';
import { AddTile } from '../add-tile.tsx';

interface SuggestedTile {
  readonly parts: readonly { readonly clay: string; readonly parts: number }[];
  readonly sentence: string;
}

/** Which tile to bake next, and why. */
export function NextTiles({
  clays,
  names,
}: {
  clays: OpenClays | undefined;
  names: (id: string) => string;
}) {
  const job = useJob(undefined, 'next-tile');
  const [baked, setBaked] = useState<SuggestedTile | undefined>();
  if (clays === undefined) return null;
  if (clays.modelId === undefined) {
    return (
      <Part title="Which tile to bake next">
        <p>
          First bake one plain tile of each clay, then one of 1 part clay + 9 parts white. Then
          update the model; Kneadwell can then suggest the next tiles.
        </p>
      </Part>
    );
  }
  const tiles = (job.job?.state === 'done' ? job.job.result?.tiles : undefined) as
    | readonly SuggestedTile[]
    | undefined;
  const lookAt = (job.job?.state === 'done' ? (job.job.result?.lookAt ?? []) : []) as readonly {
    readonly sentence: string;
  }[];
  const how = job.job?.result?.how;
  return (
    <Part title="Which tile to bake next">
      <div className="actions">
        <Button
          kind={tiles === undefined ? 'main' : 'plain'}
          isDisabled={job.running}
          onPress={() => job.start({ do: 'next-tile', clayModelId: clays.modelId! })}
        >
          Suggest tiles to bake
        </Button>
      </div>
      <JobLine here={job} what="Working out which tile helps most" />
      {lookAt.length === 0 ? null : (
        <p>
          First: {lookAt.map(({ sentence }) => sentence).join(' ')}{' '}
          <Link to="/clay-model">Why these tiles may be wrong</Link>
        </p>
      )}
      {tiles === undefined ? null : tiles.length === 0 ? (
        <p>No single tile would improve the predictions much.</p>
      ) : (
        <ol className="history">
          {tiles.map((tile) => (
            <li key={JSON.stringify(tile.parts)}>
              <Pieces
                size="card"
                groups={tile.parts.map(({ clay, parts }) => {
                  const block = clays.blocks.find(({ blockId }) => names(blockId) === clay);
                  return { id: clay, name: clay, lab: block?.lab, parts };
                })}
              />
              <p>{tile.sentence}</p>
              {partsOf(tile, clays, names) === undefined ? null : (
                <Button
                  aria-label={`Add a reading of the baked tile of ${inWords(tile)}`}
                  onPress={() => setBaked(tile)}
                >
                  Add a reading
                </Button>
              )}
            </li>
          ))}
        </ol>
      )}
      {tiles === undefined || tiles.length === 0 || typeof how !== 'string' ? null : <p>{how}</p>}
      {baked === undefined ? null : (
        <AddTile
          of={{ parts: partsOf(baked, clays, names)! }}
          code={undefined}
          title={inWords(baked)}
          basis="volume"
          onClose={() => setBaked(undefined)}
        />
      )}
    </Part>
  );
}

function inWords({ parts }: SuggestedTile): string {
  return parts.map((part) => `${part.parts} ${part.clay}`).join(' + ');
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
