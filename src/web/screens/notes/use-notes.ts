import { useEffect, useState } from 'react';
import type { VocabularyWords } from '../../../core/notation/shorthand-vocabulary.ts';
import type { NotesAnswer, NotesRequest } from '../../workers/notes-worker.ts';
import type { NotesAsk, NotesLook, NotesToSave } from './notes-look.ts';

export interface NotesHere {
  /** Of the newest text that was read. */
  readonly look: NotesLook;
  /** Whether that is the text as it is now. */
  readonly isCurrent: boolean;
  /** Reads the text as it is now to its end. */
  toSave(): Promise<NotesToSave>;
}

const NOTHING: NotesLook = { lines: [], more: 0, mixes: 0, letters: [] };

/** Notes read by a worker, so that the page answers keys while a megabyte is read. */
export function useNotes(text: string, words: VocabularyWords): NotesHere {
  const [reader, setReader] = useState<NotesReader | undefined>();
  const [read, setRead] = useState<{ readonly ask: NotesAsk; readonly look: NotesLook }>();
  useEffect(() => {
    const opened = notesReader();
    setReader(opened);
    return opened.close;
  }, []);
  useEffect(() => {
    const ask = { text, words };
    reader?.look(ask, (look) => setRead({ ask, look }));
  }, [reader, text, words]);
  return {
    look: read?.look ?? NOTHING,
    isCurrent: read?.ask.text === text && read.ask.words === words,
    async toSave() {
      if (reader === undefined) return { mixes: [], left: text };
      return reader.toSave({ text, words });
    },
  };
}

interface NotesReader {
  /** Only the newest text is read; one that was replaced before its turn is never heard of. */
  look(ask: NotesAsk, hear: (look: NotesLook) => void): void;
  toSave(ask: NotesAsk): Promise<NotesToSave>;
  readonly close: () => void;
}

function notesReader(): NotesReader {
  const worker = new Worker(new URL('../../workers/notes-worker.ts', import.meta.url), {
    type: 'module',
  });
  interface Turn {
    readonly request: NotesRequest;
    readonly hear: (answer: NotesAnswer) => void;
  }
  let running: Turn | undefined;
  let waiting: readonly Turn[] = [];
  const next = () => {
    [running, ...waiting] = waiting;
    if (running !== undefined) worker.postMessage(running.request);
  };
  const add = (turn: Turn) => {
    waiting = [...waiting.filter(({ request }) => request.do !== turn.request.do), turn];
    if (running === undefined) next();
  };
  worker.addEventListener('message', ({ data }: MessageEvent<NotesAnswer>) => {
    running?.hear(data);
    next();
  });
  return {
    look: (ask, hear) =>
      add({ request: { do: 'look', ...ask }, hear: (answer) => hear(answer as NotesLook) }),
    toSave: (ask) =>
      new Promise((resolve) => {
        const hear = (answer: NotesAnswer) => resolve(answer as NotesToSave);
        add({ request: { do: 'save', ...ask }, hear });
      }),
    close: () => worker.terminate(),
  };
}
