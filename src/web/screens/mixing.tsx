import { Link, useNavigate, useParams, useSearch } from '@tanstack/react-router';
import { useState } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { useClays } from '../book/clays.ts';
import { usePartsPrediction } from '../book/mix-prediction.ts';
import { titleOfMix } from '../book/names.ts';
import { useRecord } from '../book/queries.ts';
import { predictedOf, wantedOf } from '../book/saved-with-mix.ts';
import { labFromAddress } from '../colour/lab-in-address.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { Button } from '../parts/button.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { type AfterMixing, CameOut, CameOutWays, useAfterMixing } from './lump/came-out.tsx';
import { useMixStages } from './mix/mix-stages.ts';
import { mixFromAddress, type RecipeInAddress } from './mixing/recipe-in-address.ts';
import { MixingSteps } from './mixing/steps.tsx';
import { SaveMix } from './save-mix.tsx';

/** A saved mix, one step at a time. */
export function Mixing() {
  const { id } = useParams({ strict: false }) as { id: string };
  const { record, isPending } = useRecord(id);
  if (isPending) return <JobProgress what="Loading" />;
  if (record?.kind !== 'mix') {
    return (
      <EmptyState whole title="No such mix" actions={<Link to="/book">Go to the mix book</Link>}>
        It may have been deleted, or the address is wrong.
      </EmptyState>
    );
  }
  return <MixingSaved mix={record} />;
}

function MixingSaved({ mix }: { readonly mix: RecordOf<'mix'> }) {
  const { layers, wanted, best } = useMixStages(mix);
  return (
    <MixingSteps
      id={mix.id}
      title={
        <Link to="/book/$id" params={{ id: mix.id }}>
          {titleOfMix(mix)}
        </Link>
      }
      name={titleOfMix(mix)}
      mix={mix.body}
      layers={layers.filter(({ name }) => name === 'Wanted' || name === 'Predicted')}
      cameOut={<CameOut mix={mix} wanted={wanted ?? best} />}
      end={
        <Link className="button" data-kind="main" to="/book/$id" params={{ id: mix.id }}>
          Later
        </Link>
      }
    />
  );
}

/** A recipe straight from Find, which can still be saved at the end. */
export function MixingNow() {
  const address = useSearch({ strict: false }) as RecipeInAddress;
  const mix = mixFromAddress(address);
  if (mix === undefined) {
    return (
      <EmptyState whole title="No recipe here" actions={<Link to="/find">Find a recipe</Link>}>
        The address is wrong. Your book is not affected.
      </EmptyState>
    );
  }
  return <MixingUnsaved mix={mix} aim={labFromAddress(address.aim)} called={address.called} />;
}

function MixingUnsaved({
  mix,
  aim,
  called,
}: {
  readonly mix: NonNullable<ReturnType<typeof mixFromAddress>>;
  readonly aim: Lab | undefined;
  readonly called: string | undefined;
}) {
  const { predicted, isPending } = usePartsPrediction(mix);
  const clays = useClays();
  const navigate = useNavigate();
  const goOn = useAfterMixing();
  /** What follows once the mix is saved. */
  const [then, setThen] = useState<AfterMixing | 'later' | undefined>();
  const modelId = clays.state === 'open' ? clays.clays.modelId : undefined;
  const suggestedName = called ?? (predicted === undefined ? '' : spokenColour(predicted.lab));
  return (
    <>
      <MixingSteps
        title={<Link to="/find">{called ?? 'Your mix'}</Link>}
        name={called ?? 'this mix'}
        mix={mix}
        layers={[
          ...(aim === undefined ? [] : [{ name: 'Wanted', note: called, lab: aim }]),
          {
            name: 'Predicted',
            lab: predicted?.lab,
            covariance: predicted?.covariance,
            coming: isPending,
          },
        ]}
        cameOut={<CameOutWays wanted={aim ?? predicted?.lab} onChoose={setThen} />}
        end={
          <Button kind="main" onPress={() => setThen('later')}>
            Save this mix
          </Button>
        }
      />
      <SaveMix
        isOpen={then !== undefined}
        onClose={() => setThen(undefined)}
        onSaved={(saved) =>
          void (then === undefined || then === 'later'
            ? navigate({ to: '/book/$id', params: { id: saved.id } })
            : goOn(saved, then))
        }
        suggestedName={suggestedName}
        body={{
          ...mix,
          status: 'test',
          ...(aim === undefined ? {} : { wanted: wantedOf({ lab: aim, words: called }) }),
          ...(predicted?.plusMinus === undefined
            ? {}
            : {
                predicted: predictedOf(
                  { lab: predicted.lab, plusMinus: predicted.plusMinus },
                  modelId,
                ),
              }),
        }}
      />
    </>
  );
}
