import { Link } from '@tanstack/react-router';
import { verdictWord } from '../../../core/verdict/verdict.ts';
import { verdictHead } from '../../../core/verdict/verdict-in-words.ts';
import { mixedBatchSteps } from '../../../domain/changes/mixed-batch.ts';
import { ofKind } from '../../../domain/records/of-kind.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import type { FigureAnswer, FigureBatch } from '../../../verbs/figure.ts';
import { sendChange } from '../../book/change.ts';
import { client } from '../../book/client.ts';
import { massInWords, useUnits } from '../../book/units.ts';
import type { Studio } from '../../find/studio.ts';
import { Button } from '../../parts/button.tsx';
import { PieceBar } from '../../parts/piece-bar.tsx';
import { Tile } from '../../parts/tile.tsx';
import { count } from '../count.ts';
import { recipeForAddress } from '../mixing/recipe-in-address.ts';
import type { FigureMixes } from './use-figure-mixes.ts';

interface Rows {
  readonly answer: FigureAnswer;
  readonly figure: RecordOf<'figure'>;
  readonly mixes: FigureMixes;
  readonly studio: Studio;
}

/** The batches in the order in which they are mixed; pieces of all of them have one width. */
export function BatchRows({ answer, figure, mixes, studio }: Rows) {
  const { batches, piece } = answer;
  if (batches.length === 0) return null;
  const widest = Math.max(...batches.map(({ pieces }) => pieces));
  return (
    <section className="figure-part bench across">
      <div className="figure-head">
        <h2>Batches</h2>
        <p className="small">
          {piece === undefined
            ? 'Balls of one size in each batch'
            : `${piece.acrossMm} mm cutter, sheet ${piece.sheetMm} mm`}
        </p>
      </div>
      <ol className="figure-batches" aria-label="Batches">
        {batches.map((batch) => (
          <BatchRow
            key={`${batch.kind} ${batch.colour}`}
            batch={batch}
            share={piece === undefined ? 1 : batch.pieces / widest}
            showsBalls={piece === undefined}
            all={batches}
            figure={figure}
            mixes={mixes}
            studio={studio}
          />
        ))}
      </ol>
    </section>
  );
}

function BatchRow({
  batch,
  share,
  showsBalls,
  all,
  figure,
  mixes,
  studio,
}: {
  readonly batch: FigureBatch;
  readonly share: number;
  readonly showsBalls: boolean;
  readonly all: readonly FigureBatch[];
} & Omit<Rows, 'answer'>) {
  const units = useUnits();
  const { colour, kind, parts, pieces, lab, makesG, neededG, ballMm, roundingDE00 } = batch;
  const name = kind === 'pre-mix' ? `Pre-mix for ${colour}` : colour;
  const preMix = all.find((one) => one.kind === 'pre-mix' && one.colour === colour);
  const mix = mixes.mixById.get(mixes.idOf.get(colour)?.id ?? '');
  const isMixed = mix !== undefined && figure.body.batches.some(({ of }) => of.id === mix.id);
  const off =
    roundingDE00 === undefined || verdictWord(roundingDE00) === 'same'
      ? ''
      : `; rounded to whole pieces: ${verdictHead(verdictWord(roundingDE00)).toLowerCase()}`;
  const book = async () => {
    if (mix === undefined) return;
    const used = [batch, ...(preMix === undefined ? [] : [preMix])].flatMap((one) =>
      one.parts.flatMap(({ of, kind: what, grams }) => {
        const ref = what === 'clay' ? mixes.idOf.get(of) : undefined;
        if (ref === undefined) return [];
        const purchaseId = studio.byBlock.get(ref.id)?.purchaseId;
        return [{ of: ref, massG: grams, ...(purchaseId === undefined ? {} : { purchaseId }) }];
      }),
    );
    const tileId = await newestBakedTile(mix.id);
    await sendChange(
      `Mixed ${colour} for ${figure.body.name}`,
      mixedBatchSteps(figure, {
        of: { kind: 'mix', id: mix.id },
        version: mix.version,
        massG: makesG,
        ...(tileId === undefined ? {} : { tileId }),
        used,
        on: new Date().toISOString().slice(0, 10),
      }),
    );
  };
  return (
    <li className="figure-batch">
      <div className="figure-batch-colours" style={{ width: `${100 * share}%` }}>
        <Tile lab={lab} name={`${name}, as mixed`} />
        <PieceBar groups={parts.map((part) => groupOf(part))} />
      </div>
      <p className="figure-batch-words">
        <b className="serif">{name}</b>
        <span>
          {parts.map(({ of, pieces: n }, i) => (
            <span key={of}>
              {i === 0 ? '' : ' + '}
              <b>{n}</b> {of}
            </span>
          ))}
        </span>
        <span className="small">
          {count(pieces, 'piece')} make {massInWords(makesG, units)}, {massInWords(neededG, units)}{' '}
          needed
          {showsBalls ? `; balls of ${ballMm.toFixed(1)} mm` : ''}
          {off}
        </span>
      </p>
      {kind === 'pre-mix' || mix === undefined ? null : (
        <p className="actions">
          <MixLink batch={batch} mixId={mix.id} studio={studio} mixes={mixes} />
          {isMixed ? (
            <span className="small">Mixed</span>
          ) : (
            <Button kind="quiet" onPress={() => book()}>
              Mark {colour} as mixed
            </Button>
          )}
        </p>
      )}
    </li>
  );
}

async function newestBakedTile(mixId: string): Promise<string | undefined> {
  const { body } = await client.call('samples', { params: { id: mixId } });
  return ofKind(body.tiles, 'tile')
    .filter((tile) => tile.body.state === 'baked')
    .sort((one, other) => other.createdAt.localeCompare(one.createdAt))[0]?.id;
}

function groupOf({ of, pieces, lab }: FigureBatch['parts'][number]) {
  return { id: of, name: of, parts: pieces, lab };
}

/** The pieces of the batch in the mixing view; a batch of mixes opens its recipe. */
function MixLink({
  batch: { parts, colour },
  mixId,
  mixes,
  studio,
}: Pick<Rows, 'mixes' | 'studio'> & { readonly batch: FigureBatch; readonly mixId: string }) {
  const hand = parts.flatMap(({ of, pieces }) => {
    const blockId = studio.byName.get(of)?.blockId ?? mixes.idOf.get(of)?.id;
    return blockId === undefined ? [] : [{ blockId, parts: pieces }];
  });
  return parts.every(({ kind }) => kind === 'clay') && hand.length === parts.length ? (
    <Link to="/mixing" search={recipeForAddress(hand, 'volume', { words: colour })}>
      Start mixing {colour}
    </Link>
  ) : (
    <Link to="/book/$id/mixing" params={{ id: mixId }}>
      Start mixing {colour}
    </Link>
  );
}
