import { z } from 'zod';
import { line, name, note } from '../records/pieces.ts';
import { LICENCE_IDS } from './licences.ts';

/** Name, words and licence that go with everything that is shared. */
export const sharerFields = {
  author: name,
  /** Where the author is found, as text: nothing ever opens it by itself. */
  link: line(200).exactOptional(),
  words: note.exactOptional(),
  licence: z.enum(LICENCE_IDS),
};
/** The licence where the author picked none. */
export const USUAL_LICENCE = LICENCE_IDS[0];
