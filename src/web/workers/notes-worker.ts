import {
  lookAtNotes,
  type NotesAsk,
  type NotesLook,
  type NotesToSave,
  notesToSave,
} from '../screens/notes/notes-look.ts';

/** One request at a time; the answer to it is the next message. */
export interface NotesRequest extends NotesAsk {
  readonly do: 'look' | 'save';
}

export type NotesAnswer = NotesLook | NotesToSave;

self.addEventListener('message', ({ data }: MessageEvent<NotesRequest>) => {
  self.postMessage(data.do === 'look' ? lookAtNotes(data) : notesToSave(data));
});
