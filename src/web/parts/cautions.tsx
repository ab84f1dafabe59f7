import './cautions.css';
import { type CautionTopic, cautionsFor, LABEL_FIRST } from '../../domain/cautions.ts';

/** The safety text of what is spoken of: the first caution in full, the others one press away. */
export function Cautions({ topic }: { readonly topic: CautionTopic }) {
  const [first, ...others] = cautionsFor(topic);
  return (
    <div className="cautions small">
      <p>
        <b>{LABEL_FIRST}</b>
      </p>
      <p>
        <b>{first.title}.</b> {first.text}
      </p>
      <details>
        <summary>More cautions</summary>
        {others.map(({ title, text }) => (
          <p key={title}>
            <b>{title}.</b> {text}
          </p>
        ))}
      </details>
    </div>
  );
}
