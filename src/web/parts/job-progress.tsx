import { sentenceStart } from '../../core/sentence-start.ts';
import { Button } from './button.tsx';

/** A long job: what it does, how far it is, and a Stop button. */
export function JobProgress({
  what,
  share,
  onStop,
}: {
  readonly what: string;
  /** 0-1; absent where it is not known. */
  readonly share?: number | undefined;
  readonly onStop?: (() => void) | undefined;
}) {
  // Steps of a question are named as parts of a sentence.
  const title = sentenceStart(what);
  return (
    <div className="work">
      <div className="actions">
        <span>
          {title}
          {share === undefined ? '' : `, ${Math.floor(100 * share)} %`}
        </span>
        {onStop === undefined ? null : (
          <Button kind="quiet" onPress={onStop}>
            Stop
          </Button>
        )}
      </div>
      <div
        role="progressbar"
        aria-label={title}
        aria-valuemin={0}
        aria-valuemax={100}
        {...(share === undefined ? {} : { 'aria-valuenow': Math.floor(100 * share) })}
      >
        <div className="work-track">
          <div
            className="work-done"
            style={{ width: `${share === undefined ? 30 : 100 * share}%` }}
          />
        </div>
      </div>
    </div>
  );
}
