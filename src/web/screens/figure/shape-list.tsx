import { shapeInWords } from '../../../core/figure/part-shape.ts';
import type { FigurePlan } from '../../../domain/records/figure-plan.ts';
import type { FigureAnswer } from '../../../verbs/figure.ts';
import { massInWords, useUnits } from '../../book/units.ts';
import { Button } from '../../parts/button.tsx';
import { ShapePicture } from './shape-picture.tsx';
import type { FigureMixes } from './use-figure-mixes.ts';

/** The parts of the figure: a picture in their colour, how many, how large. */
export function ShapeList({
  plan,
  mixes,
  answer,
  onEdit,
}: {
  readonly plan: FigurePlan;
  readonly mixes: FigureMixes;
  readonly answer: FigureAnswer | undefined;
  readonly onEdit: (at: number | 'new') => void;
}) {
  const units = useUnits();
  const labs = new Map(answer?.shapes.map(({ colour, lab }) => [colour, lab]));
  const planned = new Map(answer?.shapes.map((one) => [`${one.name} ${one.shape}`, one]));
  return (
    <section className="figure-part">
      <div className="figure-head">
        <h2>Shapes</h2>
        <p className="small">with what is lost in the work</p>
      </div>
      <div>
        {plan.shapes.length === 0 ? (
          <p>Add the parts of the figure: leaves, coils, a body over a core. Sizes in mm.</p>
        ) : (
          <ul className="figure-shapes" aria-label="Shapes">
            {plan.shapes.map(({ name, count, shape, of, paint }, at) => {
              const words = shapeInWords(shape);
              const title = name ?? shape.form;
              const own = planned.get(`${name ?? `${count} ${shape.form}`} ${words}`);
              return (
                // biome-ignore lint/suspicious/noArrayIndexKey: two parts may be alike
                <li key={at}>
                  <ShapePicture
                    form={shape.form}
                    lab={
                      own?.paint?.lab ??
                      (of === undefined ? undefined : labs.get(mixes.nameOf(of.id)))
                    }
                  />
                  <div>
                    <h3>
                      {count === 1 ? '' : `${count} `}
                      {title}
                    </h3>
                    <p className="small">{words}</p>
                    <p className="small">
                      {of === undefined ? 'No colour chosen yet' : mixes.nameOf(of.id)}
                      {own === undefined ? '' : `, ${massInWords(own.grams, units)}`}
                      {paint?.like === undefined
                        ? ''
                        : `, painted like ${mixes.nameOf(paint.like.id)}`}
                    </p>
                    <Button kind="quiet" onPress={() => onEdit(at)}>
                      {of === undefined ? 'Choose a colour for' : 'Edit'} {title}
                    </Button>
                  </div>
                </li>
              );
            })}
          </ul>
        )}
        <div className="actions">
          <Button onPress={() => onEdit('new')}>Add a shape</Button>
        </div>
      </div>
    </section>
  );
}
