import '../gamut/gamut.css';
import { Link } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import { edgeOf, SECTORS, SLICE } from '../../core/colour/edge.ts';
import { Way } from '../aims/way.tsx';
import type { OpenClays } from '../book/clays.ts';
import { useLocalStorage } from '../book/local-storage-state.ts';
import { FIRST_REQUEST, isFindRequest } from '../find/find-request.ts';
import type { Studio } from '../find/studio.ts';
import { StudioGate } from '../find/studio-gate.tsx';
import { aimInWords, comparisonInWords, edgeInWords } from '../gamut/gamut-in-words.ts';
import { HueChromaPlane } from '../gamut/hue-chroma-plane.tsx';
import { claysOfStock, stocksOf } from '../gamut/stocks.ts';
import { useGamut } from '../gamut/use-gamut.ts';
import { Button } from '../parts/button.tsx';
import { Pick } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { Tile } from '../parts/tile.tsx';

/** Along the slider of lightness. */
const [DARKEST, LIGHTEST] = [5, 97];
const GREYS = Array.from({ length: 24 }, (_, i) => [DARKEST + (i + 0.5) * 3.83, 0, 0] as const);
const ROWS = 12;
/** Least chroma of the plane, so that a few dull clays do not look strong. */
const LEAST_SHOWN = 40;

/** Which colours can my clays make, and is the colour I want among them? */
export function ColourRange() {
  return <StudioGate>{(clays, studio) => <GamutOf clays={clays} studio={studio} />}</StudioGate>;
}

function GamutOf({ clays, studio }: { clays: OpenClays; studio: Studio }) {
  const [wanted] = useLocalStorage('find', FIRST_REQUEST, isFindRequest);
  const aim = wanted.aim?.lab;
  const [lightness, setLightness] = useState(() => heldLightness(aim?.[0] ?? 55));
  const [one, setOne] = useState('all');
  const [other, setOther] = useState('none');
  const mine = useMemo(() => claysOfStock(one, studio), [one, studio]);
  const stocks = stocksOf(studio);
  const more = studio.clays.filter(({ clay }) => !mine.includes(clay));
  const block = other.startsWith('more ')
    ? more.find(({ blockId }) => other === `more ${blockId}`)
    : undefined;
  const compared = other !== 'none' && (block !== undefined || !other.startsWith('more '));
  const theirs = useMemo(() => {
    if (!compared) return [];
    return block === undefined ? claysOfStock(other, studio) : [...mine, block.clay];
  }, [compared, block, other, mine, studio]);
  const points = useGamut(clays, mine);
  const otherPoints = useGamut(clays, theirs);
  const nameOf = (stock: string) => stocks.find(([key]) => key === stock)?.[1] ?? '';
  const oneName = nameOf(one);
  const otherName = block === undefined ? nameOf(other) : `${oneName} and ${block.name}`;
  const edge = useMemo(
    () => (points === undefined ? undefined : edgeOf(points, lightness)),
    [points, lightness],
  );
  const otherEdge = useMemo(
    () => (otherPoints === undefined || !compared ? undefined : edgeOf(otherPoints, lightness)),
    [otherPoints, compared, lightness],
  );
  const judged = useMemo(() => {
    if (aim === undefined || points === undefined) return [];
    return [
      aimInWords(aim, points, wanted.tolerance, oneName),
      ...(compared && otherPoints !== undefined
        ? [aimInWords(aim, otherPoints, wanted.tolerance, otherName)]
        : []),
    ];
  }, [aim, points, otherPoints, compared, wanted.tolerance, oneName, otherName]);
  const shown = clays.blocks.flatMap(({ blockId, clay: index, lab }) => {
    const clay = studio.byBlock.get(blockId);
    const inIt = mine.includes(index) || theirs.includes(index);
    if (clay === undefined || !inIt || Math.abs(lab[0] - lightness) > 2 * SLICE) return [];
    return [{ id: blockId, name: clay.name, lab }];
  });
  const aimHere = aim !== undefined && Math.abs(aim[0] - lightness) <= SLICE;
  const far = useMemo(
    () =>
      Math.max(
        LEAST_SHOWN,
        ...[points ?? [], otherPoints ?? [], aim === undefined ? [] : [aim]].map((labs) =>
          labs.reduce((most, [, a, b]) => Math.max(most, Math.hypot(a, b)), 0),
        ),
      ),
    [points, otherPoints, aim],
  );
  const words = edge === undefined ? '' : edgeInWords(edge, lightness);
  return (
    <div className="screen">
      <header>
        <h1>Colour range</h1>
        <p className="soft">
          The hatched area shows the colours you can mix from two or three clays at one lightness.
          Grey is in the middle; colours get stronger towards the edge.
        </p>
      </header>
      <div className="two reach-ask">
        <Pick label="Clays" value={one} onChange={setOne} options={stocks} />
        <Pick
          label="Compare with"
          value={compared ? other : 'none'}
          onChange={setOther}
          options={[
            ['none', 'nothing'],
            ...stocks.filter(([key]) => key !== one),
            ...more.map(
              ({ blockId, name, line }) =>
                [`more ${blockId}`, `the same plus ${name}, ${line}`] as const,
            ),
          ]}
        />
      </div>
      <section className="bench gamut-bench" aria-label="Hue and chroma">
        <Way
          label="Lightness, dark to light"
          value={lightness}
          least={DARKEST}
          most={LIGHTEST}
          step={1}
          colours={GREYS}
          onChange={setLightness}
        />
        {edge === undefined ? (
          <JobProgress what="Mixing all clays" />
        ) : (
          <HueChromaPlane
            label={words}
            edge={edge}
            other={otherEdge}
            points={shown}
            aim={aim === undefined ? undefined : { lab: aim, here: aimHere }}
            far={far}
          />
        )}
        <div className="stack">
          {edge === undefined ? null : <p>{words}</p>}
          {edge === undefined || otherEdge === undefined ? null : (
            <p>{comparisonInWords(edge, otherEdge, otherName, lightness)}</p>
          )}
          {aim === undefined ? (
            <p>
              <Link to="/find">Choose a colour in Find</Link> to see whether your clays can make it.
            </p>
          ) : (
            <div className="missing">
              <Tile lab={aim} name="Colour you want" />
              <div className="stack tight">
                {judged.map((text) => (
                  <p key={text}>{text}</p>
                ))}
                <div className="actions">
                  {aimHere ? null : (
                    <Button onPress={() => setLightness(heldLightness(aim[0]))}>
                      Go to its lightness
                    </Button>
                  )}
                  <Link className="button" to="/find">
                    Find a recipe
                  </Link>
                </div>
              </div>
            </div>
          )}
        </div>
      </section>
      {edge === undefined ? null : (
        <details>
          <summary>Details</summary>
          <table className="figures">
            <thead>
              <tr>
                <th scope="col">Hue</th>
                <th scope="col">{oneName}, chroma up to</th>
                {otherEdge === undefined ? null : <th scope="col">{otherName}</th>}
              </tr>
            </thead>
            <tbody>
              {Array.from({ length: ROWS }, (_, i) => (i * 360) / ROWS).map((hue) => {
                const sector = (hue / 360) * SECTORS;
                return (
                  <tr key={hue}>
                    <th scope="row">{hue}°</th>
                    <td>{edge[sector].toFixed(0)}</td>
                    {otherEdge === undefined ? null : <td>{otherEdge[sector].toFixed(0)}</td>}
                  </tr>
                );
              })}
            </tbody>
          </table>
        </details>
      )}
    </div>
  );
}

function heldLightness(lightness: number): number {
  return Math.min(LIGHTEST, Math.max(DARKEST, Math.round(lightness)));
}
