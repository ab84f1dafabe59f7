import { globSync, readFileSync } from 'node:fs';
import ts from 'typescript';
import { OLD_WORDS } from './plain-words.ts';
import { type SourceText, sourceTexts } from './source-texts.ts';

/** An old word, its place, and the word that replaces it. */
export interface FoundWord {
  readonly room: string;
  readonly path: string;
  readonly line: number;
  readonly kind: SourceText['kind'] | 'document';
  readonly word: string;
  readonly instead: string;
  readonly text: string;
}

const CODE = ['src/**/*.{ts,tsx}', 'bench/**/*.ts', 'test/**/*.ts', 'tools/**/*.{ts,mjs}'];
const DOCUMENTS = ['*.md', 'docs/*.md'];
/** Its code names what was renamed. */
const CHANGELOG = 'CHANGELOG.md';
/** The list itself, tables of numbers, data of the last version, and what reads or answers its names. */
const NOT_READ = [
  /^tools\/plain-words\.ts$/,
  /^test\/conformance\/words\.test\.ts$/,
  /\.data\.ts$/,
  /^test\/oracles\//,
  /^src\/domain\/upgrade-(record|clay-file)/,
  /^src\/(cli\/renamed|book\/jobs\/older-jobs)\.ts$/,
];

const bounded = (words: string) => new RegExp(`(?<![\\w-])(?:${words})(?![\\w-])`, 'i');
const RULES = OLD_WORDS.map((rule) => ({
  ...rule,
  inText: bounded(rule.word),
  inName: rule.name === undefined ? undefined : new RegExp(`^(?:${rule.name})$`, 'i'),
}));

/** Most texts hold no old word at all: one look says so, where one for each word would take ten times as long. */
const ANY_IN_TEXT = bounded(OLD_WORDS.map(({ word }) => `(?:${word})`).join('|'));

const filesOf = (patterns: readonly string[]) =>
  globSync([...patterns])
    .map((path) => path.replaceAll('\\', '/'))
    .filter((path) => !NOT_READ.some((pattern) => pattern.test(path)))
    .sort();

/** `src/web`, `bench`, `docs`: the first folder, and of the program the second too. */
const roomOf = (path: string) => {
  const [first, ...rest] = path.split('/');
  return first === 'src' ? `src/${rest[0]}` : rest.length === 0 ? 'top' : first;
};

/** Every old word in the program, its tests, its tools and its documents. */
export function oldWordsFound(): FoundWord[] {
  const found: FoundWord[] = [];
  const look = (path: string, line: number, kind: FoundWord['kind'], text: string) => {
    for (const { word, instead } of oldWordsOf(kind, path, text))
      found.push({ room: roomOf(path), path, line, kind, word, instead, text });
  };
  for (const path of filesOf(CODE))
    for (const { kind, line, text } of sourceTexts(path, readFileSync(path, 'utf8')))
      look(path, line, kind, text.replace(/\s*\n\s*(\*|\/\/)?\s*/g, ' '));
  for (const path of filesOf(DOCUMENTS))
    readFileSync(path, 'utf8')
      .split('\n')
      .forEach((text, i) => {
        look(path, i + 1, 'document', path === CHANGELOG ? text.replace(/`[^`]+`/g, '``') : text);
      });
  return found;
}

type Rule = (typeof RULES)[number];

/** The old words of one text, as they are written there. */
export const wordsIn = (kind: FoundWord['kind'], path: string, text: string): string[] =>
  oldWordsOf(kind, path, text).map(({ word }) => word);

function oldWordsOf(kind: FoundWord['kind'], path: string, text: string) {
  if (kind !== 'name' && !ANY_IN_TEXT.test(text)) return [];
  return RULES.flatMap((rule) => {
    const word = kind === 'name' ? wordInName(rule, text) : wordInText(rule, kind, path, text);
    return word === undefined ? [] : [{ word, instead: rule.instead }];
  });
}

/** People see the strings of the program and the documents; of tests and tools only what all hold to. */
function wordInText(rule: Rule, kind: FoundWord['kind'], path: string, text: string) {
  const visible = kind === 'document' || (kind === 'string' && path.startsWith('src/'));
  if (!visible && rule.code !== true) return undefined;
  const word = rule.inText.exec(text)?.[0];
  return word === undefined || rule.unless?.text.test(text) === true ? undefined : word;
}

const wordInName = ({ inName }: Rule, name: string) =>
  inName && name.split(/(?<=[a-z0-9])(?=[A-Z])|_/).find((part) => inName.test(part));

/** Names that are exported from more than one file of the program, with the files. */
export function sharedExports(): [string, string[]][] {
  const files = new Map<string, string[]>();
  for (const path of filesOf(['src/**/*.{ts,tsx}'])) {
    if (/\.test\.tsx?$/.test(path)) continue;
    for (const name of new Set(exportedNames(path)))
      files.set(name, [...(files.get(name) ?? []), path]);
  }
  return [...files].filter(([, paths]) => paths.length > 1).sort(([a], [b]) => (a < b ? -1 : 1));
}

function exportedNames(path: string): string[] {
  const file = ts.createSourceFile(path, readFileSync(path, 'utf8'), ts.ScriptTarget.Latest);
  return file.statements.flatMap((statement) => {
    const exported =
      ts.canHaveModifiers(statement) &&
      ts.getModifiers(statement)?.some(({ kind }) => kind === ts.SyntaxKind.ExportKeyword);
    if (exported !== true) return [];
    if (ts.isVariableStatement(statement))
      return statement.declarationList.declarations.flatMap(({ name }) =>
        ts.isIdentifier(name) ? [name.text] : [],
      );
    const { name } = statement as ts.Statement & { readonly name?: ts.Node };
    return name !== undefined && ts.isIdentifier(name) ? [name.text] : [];
  });
}
