import { Link } from '@tanstack/react-router';
import { percentInWords } from '../../../domain/powders-in-words.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { useColours } from '../../book/colours.ts';
import { useBlockNames } from '../../book/names.ts';
import { useAll } from '../../book/queries.ts';
import { useResolvedMix } from '../../book/resolved-mix.ts';
import { massInWords, useUnits } from '../../book/units.ts';
import { Block, leftInWords } from '../../parts/block.tsx';
import { effectOf } from '../block-types.ts';
import { useOnHand } from '../stock/on-hand.ts';

/** The recipe down to the blocks and powders it is made of, with what is left of each. */
export function FromBlocks({ mix }: { readonly mix: RecordOf<'mix'> }) {
  const { found, isPending } = useResolvedMix(mix.body, 'weight');
  const blocks = useAll('block').byId;
  const powders = useAll('powder').byId;
  const { nameOf, lineOf } = useBlockNames();
  const colours = useColours();
  const stock = useOnHand();
  const units = useUnits();
  if (isPending) return <p className="soft">Loading …</p>;
  if (found?.status !== 'resolved') {
    return (
      <p className="warning">{found?.says ?? 'A clay of this mix is no longer in the book.'}</p>
    );
  }
  const nested = mix.body.parts.some(({ of }) => of.kind === 'mix');
  return (
    <ul className="from-blocks">
      {found.blocks.map(({ id, share }) => {
        const block = blocks.get(id)?.body;
        const leftG = stock?.get(id)?.grams;
        const left = leftInWords(leftG, block?.packageG);
        // How much of the mix what is left would make, as far as this clay goes.
        const enough = leftG === undefined || share <= 0 ? undefined : leftG / share;
        const said = [
          nested ? percentInWords(share) : '',
          lineOf(id),
          left,
          enough !== undefined && left !== '' && enough < ENOUGH_G
            ? `enough for ${massInWords(enough, units)}`
            : '',
          block?.status === 'discontinued' ? 'no longer sold' : '',
          block?.status === 'not owned' ? 'not yours' : '',
        ];
        return (
          <li key={id}>
            <span className="from-tray bench">
              <Block
                name={nameOf(id)}
                lab={colours.of(id)?.lab}
                packageG={block?.packageG}
                leftG={leftG}
                effect={effectOf(block?.clayType)}
              />
            </span>
            <span>
              <Link to="/stock" search={{ block: id }}>
                <b>{block?.name ?? nameOf(id)}</b>
              </Link>
              <span className="small soft">{said.filter(Boolean).join(', ')}</span>
            </span>
          </li>
        );
      })}
      {found.powders.map(({ id, share }) => (
        <li key={id}>
          <span className="from-tray bench">
            <Block name={powders.get(id)?.body.name ?? 'a powder'} lab={undefined} />
          </span>
          <span>
            <b>{powders.get(id)?.body.name ?? 'a powder'}</b>
            <span className="small soft">{percentInWords(share)} by weight</span>
          </span>
        </li>
      ))}
    </ul>
  );
}

/** From this much on nobody needs to count, grams (common practice). */
const ENOUGH_G = 250;
