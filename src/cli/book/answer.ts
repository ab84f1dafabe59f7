import type { Given } from '../options.ts';
import { addAnswer } from './add-answer.ts';
import { backupAnswer, doctorAnswer, restoreAnswer, verifyAnswer } from './backup-answers.ts';
import type { BookShell } from './book-shell.ts';
import { exportAnswer, importAnswer } from './carry-answers.ts';
import { countsAnswer, listAnswer, showAnswer } from './look-answers.ts';
import { demoAnswer, serveAnswer } from './serve-answers.ts';
import { turnAnswer } from './turn-answer.ts';
import type { BookVerb } from './verbs.ts';

/** What a verb of the book says on paper; faults are thrown. */
export function bookAnswer(verb: BookVerb, given: Given, shell: BookShell): Promise<string> {
  return ANSWERS[verb](given, shell);
}

const ANSWERS: Readonly<Record<BookVerb, (given: Given, shell: BookShell) => Promise<string>>> = {
  serve: serveAnswer,
  demo: demoAnswer,
  book: countsAnswer,
  show: showAnswer,
  list: listAnswer,
  add: addAnswer,
  undo: (given, shell) => turnAnswer('undo', given, shell),
  redo: (given, shell) => turnAnswer('redo', given, shell),
  import: importAnswer,
  export: exportAnswer,
  backup: backupAnswer,
  restore: restoreAnswer,
  verify: verifyAnswer,
  doctor: doctorAnswer,
};
