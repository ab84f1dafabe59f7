import { useState } from 'react';
import { change, make } from '../../../domain/changes/steps.ts';
import type { BodyOf, RecordOf } from '../../../domain/records/record.ts';
import { sendChange } from '../../book/change.ts';
import { gFrom, useUnits } from '../../book/units.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { Field, Pick } from '../../parts/field.tsx';
import { SaveForm } from '../../parts/save-form.tsx';

const TYPES = ['powder', 'mica', 'glitter', 'chalk', 'paint', 'varnish', 'other'] as const;

/** Writes down a powder, mica or paint. */
export function EditPowder({
  powder,
  onClose,
}: {
  readonly powder: RecordOf<'powder'> | undefined;
  readonly onClose: () => void;
}) {
  const units = useUnits();
  const body = powder?.body;
  const [name, setName] = useState(body?.name ?? '');
  const [code, setCode] = useState(body?.code ?? '');
  const [type, setType] = useState<(typeof TYPES)[number]>(body?.powderType ?? 'powder');
  const [weight, setWeight] = useState(
    body?.packageG === undefined
      ? ''
      : String(Number((body.packageG / gFrom(1, units)).toFixed(2))),
  );
  const [share, setShare] = useState(
    body?.usualShare === undefined ? '' : String(Number((100 * body.usualShare).toFixed(2))),
  );
  const keep = async () => {
    if (name.trim() === '') return 'Type the name on the package.';
    const typedG = weight.trim() === '' ? undefined : gFrom(number(weight), units);
    if (typedG !== undefined && !(typedG > 0)) return 'Type the weight of a package, such as 8.';
    const usual = share.trim() === '' ? undefined : number(share) / 100;
    if (usual !== undefined && !(usual > 0 && usual <= 1)) return 'Type per cent, such as 2.';
    const {
      code: _c,
      packageG: _g,
      usualShare: _u,
      ...rest
    } = body ?? { status: 'current' as const };
    const next: BodyOf<'powder'> = {
      ...rest,
      name: name.trim(),
      powderType: type,
      ...(code.trim() === '' ? {} : { code: code.trim() }),
      ...(typedG === undefined ? {} : { packageG: typedG }),
      ...(usual === undefined ? {} : { usualShare: usual }),
    };
    const what = powder === undefined ? 'Added' : 'Changed';
    await sendChange(`${what} the powder ${name.trim()}`, [
      powder === undefined ? make('powder', next) : change(powder, next),
    ]);
    return undefined;
  };
  return (
    <Dialog title={body?.name ?? 'A powder'} isOpen onClose={onClose}>
      <SaveForm keep={keep} onDone={onClose}>
        <div className="two">
          <Field label="Name" value={name} onChange={setName} />
          <Field label="Code" value={code} onChange={setCode} />
          <Pick
            label="What it is"
            value={type}
            onChange={setType}
            options={TYPES.map((one) => [one, one] as const)}
          />
          <Field
            label={units.mass === 'g' ? 'Package weight, grams' : 'Package weight, ounces'}
            value={weight}
            onChange={setWeight}
            inputMode="decimal"
          />
          <Field
            label="Usual share, % by weight"
            value={share}
            onChange={setShare}
            inputMode="decimal"
          />
        </div>
      </SaveForm>
    </Dialog>
  );
}

function number(text: string): number {
  return Number(text.trim().replace(',', '.'));
}
