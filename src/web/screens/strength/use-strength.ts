import { useEffect, useMemo, useRef, useState } from 'react';
import type { BakeAnswer } from '../../../verbs/bake.ts';
import type { HoldAnswer } from '../../../verbs/hold.ts';
import type {
  StrengthAsk,
  StrengthReply,
  StrengthRequest,
} from '../../workers/strength-messages.ts';

export interface StrengthHeard<A> {
  /** The newest answer, which may belong to the question before. */
  readonly answer: A | undefined;
  readonly fault: string | undefined;
}

/** Typing pauses this long before a question is asked. */
const PAUSE_MS = 250;

/** Asks a worker whenever the question changes; undefined asks nothing. */
export function useStrength<V extends StrengthAsk['verb']>(
  ask: (StrengthAsk & { readonly verb: V }) | undefined,
): StrengthHeard<V extends 'hold' ? HoldAnswer : BakeAnswer> {
  const worker = useRef<Worker | undefined>(undefined);
  const newest = useRef(0);
  const [reply, setReply] = useState<Omit<StrengthReply, 'id'>>({});
  useEffect(() => {
    const opened = new Worker(new URL('../../workers/strength-worker.ts', import.meta.url), {
      type: 'module',
    });
    opened.addEventListener('message', ({ data }: MessageEvent<StrengthReply>) => {
      if (data.id === newest.current) setReply(data);
    });
    worker.current = opened;
    return () => opened.terminate();
  }, []);
  const key = useMemo(() => (ask === undefined ? '' : JSON.stringify(ask)), [ask]);
  useEffect(() => {
    newest.current++;
    if (key === '') return setReply({});
    const id = newest.current;
    const timer = setTimeout(() => {
      worker.current?.postMessage({ ...JSON.parse(key), id } satisfies StrengthRequest);
    }, PAUSE_MS);
    return () => clearTimeout(timer);
  }, [key]);
  return {
    answer: reply.answer as (V extends 'hold' ? HoldAnswer : BakeAnswer) | undefined,
    fault: reply.fault,
  };
}
