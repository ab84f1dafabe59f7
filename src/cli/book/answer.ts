import type { Given } from '../options.ts';
import { addAnswer } from './add.ts';
import { backupAnswer, doctorAnswer, restoreAnswer, verifyAnswer } from './backups.ts';
import type { BookShell } from './book-shell.ts';
import { exportAnswer, importAnswer } from './import-export.ts';
import { demoAnswer, serveAnswer } from './serve.ts';
import { countsAnswer, listAnswer, showAnswer } from './show-records.ts';
import { turnAnswer } from './undo-redo.ts';
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
