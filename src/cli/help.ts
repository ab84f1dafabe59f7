import { inARow } from '../core/in-a-row.ts';
import type { Command, CommandParts } from './command-parts.ts';
import type { OptionField } from './option-fields.ts';

/** Letters of a line of help, and where the words of an option begin. */
const WIDTH = 100;
const INDENT = 22;

/** The help of one command, from the schema of its call. */
export function helpOf(
  {
    usage,
    asks,
    about,
    after,
    json,
  }: Pick<CommandParts<never>, 'usage' | 'asks' | 'about' | 'after' | 'json'>,
  fields: readonly OptionField[],
): string {
  const lines = [`kneadwell ${usage}: ${asks.charAt(0).toLowerCase()}${asks.slice(1)}`, ''];
  if (about !== undefined)
    lines.push(
      ...about
        // Not the space before its first line, which may be the first of a table.
        .replace(/^\n+|\s+$/g, '')
        .split('\n')
        .flatMap((line) => wrapped(line, 0)),
      '',
    );
  const options = fields.flatMap(optionLines);
  lines.push(...options);
  if (json !== undefined) lines.push(...listed('--json', json.replace(/\s+/g, ' ').trim()));
  if (after !== undefined)
    lines.push(
      '',
      ...after
        .trim()
        .split('\n')
        .flatMap((line) => wrapped(line, 0)),
    );
  return `${lines.join('\n').trimEnd()}\n`;
}

function optionLines(field: OptionField): string[] {
  const { option, value, operand, help, many, kind, file } = field;
  const lines: string[] = [];
  if (operand !== undefined) lines.push(...listed(operand, sentence(field)));
  else if (option !== undefined) {
    const shown = kind === 'switch' || value === undefined ? `--${option}` : `--${option} ${value}`;
    lines.push(...listed(shown, `${sentence(field)}${many ? '; may be repeated' : ''}`));
  }
  if (file !== undefined) lines.push(...listed(`--${file.option} FILE`, file.help || help));
  return lines;
}

/** What an option is for, its choices and its default. */
function sentence({ help, kind, choices, fallback }: OptionField): string {
  const words = kind === 'choice' && choices.length > 0 ? inARow(choices.map(String), 'or') : '';
  const said = words === '' ? help : `${help}: ${words}`;
  return fallback === undefined ? said : `${said} (default ${fallback})`;
}

function listed(head: string, text: string): string[] {
  const lines = wrapped(text, INDENT);
  const short = `  ${head}`.padEnd(INDENT);
  // A head that fills its column leaves no space before the text.
  if (!short.endsWith(' ')) return [`  ${head}`, ...lines];
  return lines.map((line, i) => (i === 0 ? `${short}${line.slice(INDENT)}` : line));
}

function wrapped(text: string, indent: number): string[] {
  if (text.length + indent <= WIDTH) return [`${' '.repeat(indent)}${text}`];
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    if (line !== '' && indent + line.length + 1 + word.length > WIDTH) {
      lines.push(line);
      line = word;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  return [...lines, line].map((one) => `${' '.repeat(indent)}${one}`);
}

/** The help of the program: every command in a line. */
export function programHelp(verbs: readonly Command[], book: readonly Command[]): string {
  return `kneadwell: from baked sample tiles to recipes

${commandLines(verbs)}

The mix book

${commandLines(book)}

Options for all commands
  --json              numbers for other programs, on standard output
  --help              more about the command
Options for all commands about clays
  --light NAME        D50 (default), D65, A, FL11 or LED-B3
  --observer DEG      2 (default) or 10 degrees
  --basis BASIS       what parts count: volume or weight
  --book              learn, predict, find, inspect, next-tile, try and nearest work on the mix book
  --folder FOLDER     whose book; KNEADWELL_FOLDER or your own when left out

  kneadwell --version

Exit codes: 0 an answer, also when it is "no"; 2 a call or file that cannot be read; 3 nothing there;
4 a clash with what is there; 5 a disk or folder that cannot be used; 70 a fault of the program.
A fault is one sentence on standard error; with --json it is one line {"fault": {...}} there.
`;
}

function commandLines(commands: readonly Command[]): string {
  return commands
    .flatMap(({ usage, asks }) => {
      const head = `  kneadwell ${usage}`;
      return head.length < 48 ? [`${head.padEnd(50)}${asks}`] : [head, `${' '.repeat(50)}${asks}`];
    })
    .join('\n');
}
