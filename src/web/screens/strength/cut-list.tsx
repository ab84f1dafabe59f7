import { specimenInWords } from '../../../core/strength/specimen.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { Button } from '../../parts/button.tsx';

/** What to mix and cut for a set of bend tests; printed above its empty grid. */
export function CutList({
  tests,
  strong,
  other,
}: {
  readonly tests: readonly [RecordOf<'bend-test'>, ...RecordOf<'bend-test'>[]];
  readonly strong: string;
  readonly other: string;
}) {
  const [{ body }] = tests;
  const shares = [...new Set(tests.map((test) => test.body.strongShare))].sort((a, b) => b - a);
  const { form } = body.specimen;
  return (
    <section className="cut-list" aria-label="What to cut">
      <p>
        <b>
          Cut {tests.length === 1 ? `1 ${form}` : `${tests.length} ${form}s`} of{' '}
          {specimenInWords(body.specimen).slice(form.length + 1)}, all with one cutter
          {body.bakeName === undefined ? '' : `, for the bake ${body.bakeName}`}.
        </b>
      </p>
      <ul>
        {shares.map((share) => (
          <li key={share}>
            {tests.filter((test) => test.body.strongShare === share).length} of{' '}
            {mixInWords(share, strong, other)}
          </li>
        ))}
      </ul>
      <div className="actions">
        <Button kind="quiet" onPress={() => window.print()}>
          Print what to cut
        </Button>
      </div>
    </section>
  );
}

/** Whole parts that come close to a share: 12 % is one part in eight. */
const PARTS = [2, 3, 4, 5, 6, 8, 10, 12, 16, 20] as const;
/** Within this share of the whole a mix counts as made right: 1 part of 8 for 12 %. */
const CLOSE = 0.006;

function mixInWords(share: number, strong: string, other: string): string {
  if (share === 1) return `${strong} alone`;
  if (share === 0) return `${other} alone`;
  const all = PARTS.find((parts) => Math.abs(Math.round(share * parts) / parts - share) <= CLOSE);
  const named = `${Math.round(100 * share)} % ${strong}`;
  if (all === undefined) return `${named}, ${Math.round(100 - 100 * share)} % ${other}`;
  const some = Math.round(share * all);
  return `${named}: ${some} ${some === 1 ? 'part' : 'parts'} ${strong} and ${all - some} ${all - some === 1 ? 'part' : 'parts'} ${other}`;
}
