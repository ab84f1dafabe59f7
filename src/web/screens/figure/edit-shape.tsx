import { useState } from 'react';
import { AppError } from '../../../core/errors.ts';
import {
  checkedShape,
  type PartShape,
  SHAPE_FORMS,
  SHAPE_SIZES,
  type ShapeForm,
  sizeInWords,
  sizesOf,
} from '../../../core/figure/part-shape.ts';
import { WASTE_KINDS, WASTE_SHARES, type WasteKind } from '../../../core/figure/waste.ts';
import { sentenceStart } from '../../../core/sentence-start.ts';
import { change } from '../../../domain/changes/steps.ts';
import type { FigurePlan, ShapeOfFigure } from '../../../domain/records/figure-plan.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { sendChange } from '../../book/change.ts';
import { Choice } from '../../parts/choice.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { Field, Pick } from '../../parts/field.tsx';
import { SaveForm } from '../../parts/save-form.tsx';
import { ChooseColour } from './choose-colour.tsx';

type Of = ShapeOfFigure['of'];

/** Adds a part to the plan of a figure, or changes one: its shape and sizes, how many, of which clay. */
export function EditShape({
  figure,
  plan,
  at,
  nameOf,
  onClose,
}: {
  readonly figure: RecordOf<'figure'>;
  readonly plan: FigurePlan;
  /** Place of the shape; absent for a new one. */
  readonly at: number | undefined;
  readonly nameOf: (id: string) => string;
  readonly onClose: () => void;
}) {
  const before = at === undefined ? undefined : plan.shapes[at];
  const [name, setName] = useState(before?.name ?? '');
  const [count, setCount] = useState(String(before?.count ?? 1));
  const [form, setForm] = useState<ShapeForm>(before?.shape.form ?? 'leaf');
  const [sizes, setSizes] = useState<Readonly<Record<string, string>>>(
    before === undefined
      ? {}
      : Object.fromEntries(sizesOf(before.shape).map(([size, value]) => [size, String(value)])),
  );
  const [edges, setEdges] = useState(
    before !== undefined && 'edges' in before.shape ? 'feathered' : 'full',
  );
  const [of, setOf] = useState<Of>(before?.of);
  const [waste, setWaste] = useState<WasteKind>(before?.waste ?? 'sculpting');
  const [bulk, setBulk] = useState<'thin' | 'bulky'>(before?.bulk ?? 'bulky');
  const [coats, setCoats] = useState(String(before?.paint?.coats ?? ''));
  const [like, setLike] = useState<Of>(before?.paint?.like);
  const isThin = form === 'leaf' || form === 'petal';

  const save = async (shapes: readonly ShapeOfFigure[], what: string) => {
    await sendChange(`${what} ${figure.body.name}`, [
      change(figure, { ...figure.body, plan: { ...plan, shapes } }),
    ]);
  };
  const keep = async () => {
    const many = Number(count);
    if (!Number.isInteger(many) || many < 1 || many > 1_000_000) {
      return 'Type how many there are, a whole number from 1.';
    }
    const painted = coats.trim() === '' ? undefined : Number(coats);
    if (painted !== undefined && !(Number.isInteger(painted) && painted >= 1 && painted <= 20)) {
      return 'Type the coats of paint, 1 to 20, or leave the field empty.';
    }
    const shape = shapeTyped(form, sizes, isThin && edges === 'feathered');
    if (typeof shape === 'string') return shape;
    const { paint, ...rest } = before ?? {};
    const next: ShapeOfFigure = {
      ...rest,
      ...(name.trim() === '' ? {} : { name: name.trim() }),
      count: many,
      shape,
      ...(of === undefined ? {} : { of }),
      waste,
      bulk,
      ...(painted === undefined && like === undefined
        ? {}
        : {
            paint: {
              ...(paint?.powderId === undefined ? {} : { powderId: paint.powderId }),
              ...(like === undefined ? {} : { like }),
              ...(painted === undefined ? {} : { coats: painted }),
            },
          }),
    };
    await save(
      at === undefined ? [...plan.shapes, next] : plan.shapes.with(at, next),
      at === undefined ? 'Added a shape to' : 'Changed a shape of',
    );
    return undefined;
  };
  return (
    <Dialog title={before === undefined ? 'Add a shape' : 'Edit a shape'} isOpen onClose={onClose}>
      <SaveForm
        keep={keep}
        onDone={onClose}
        {...(at === undefined
          ? {}
          : {
              also: [
                'Remove this shape',
                async () => {
                  await save(plan.shapes.toSpliced(at, 1), 'Removed a shape of');
                  onClose();
                },
              ] as const,
            })}
      >
        <div className="two">
          <Pick
            label="Shape"
            value={form}
            onChange={setForm}
            options={SHAPE_FORMS.map((one) => [one, one] as const)}
          />
          <Field label="How many" value={count} onChange={setCount} inputMode="numeric" />
        </div>
        <div className="two">
          {SHAPE_SIZES[form].map((size) => (
            <Field
              key={size}
              label={labelOf(size)}
              value={sizes[size] ?? ''}
              onChange={(text) => setSizes({ ...sizes, [size]: text })}
              inputMode="decimal"
            />
          ))}
        </div>
        {isThin ? (
          <Choice
            isLabelled
            label="Edges"
            value={edges}
            onChange={setEdges}
            options={[
              ['full', 'As thick as the middle'],
              ['feathered', 'Rolled out thin'],
            ]}
          />
        ) : null}
        <Field label="Name" value={name} onChange={setName} placeholder="Fronds" />
        <ChooseColour
          label="Colour"
          none="Not chosen yet"
          clayLabel="Or a clay as it is"
          of={of}
          nameOf={nameOf}
          onChange={setOf}
        />
        <Choice
          isLabelled
          label="Kind of work"
          value={waste}
          onChange={setWaste}
          options={WASTE_KINDS.map(
            (kind) =>
              [
                kind,
                kind === 'none'
                  ? 'Nothing lost'
                  : `${kind}, ${Math.round(100 * WASTE_SHARES[kind])} % lost`,
              ] as const,
          )}
        />
        <Choice
          isLabelled
          label="Thin or bulky"
          value={bulk}
          onChange={setBulk}
          options={[
            ['thin', 'Thin: it must bend'],
            ['bulky', 'Bulky'],
          ]}
        />
        <ChooseColour
          label="Painted like"
          none="Not painted"
          clayLabel="Or like a clay"
          of={like}
          nameOf={nameOf}
          onChange={setLike}
        />
        <Field
          label="Coats of paint"
          value={coats}
          onChange={setCoats}
          inputMode="numeric"
          help="Leave this empty, and the plan says how many coats hide the clay."
        />
      </SaveForm>
    </Dialog>
  );
}

/** "Diameter, mm" */
function labelOf(size: string): string {
  const words = sizeInWords(size);
  return `${sentenceStart(words)}${size.endsWith('Mm') ? ', mm' : ''}`;
}

/** The shape of typed sizes; else what is wrong, in words. */
function shapeTyped(
  form: ShapeForm,
  sizes: Readonly<Record<string, string>>,
  feathered: boolean,
): PartShape | string {
  const values = SHAPE_SIZES[form].map((size): readonly [string, number] => [
    size,
    Number((sizes[size] ?? '').trim().replace(',', '.')),
  ]);
  const missing = values.find(([size]) => (sizes[size] ?? '').trim() === '');
  if (missing !== undefined) return `Type the ${sizeInWords(missing[0])}.`;
  try {
    // The names of the sizes are those of the form, so the whole is one of its shapes.
    const shape: object = {
      form,
      ...Object.fromEntries(values),
      ...(feathered ? { edges: 'feathered' } : {}),
    };
    return checkedShape(shape as PartShape);
  } catch (fault) {
    if (fault instanceof AppError) return `${fault.detail} ${fault.hint}`;
    throw fault;
  }
}
