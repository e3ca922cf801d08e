/** What the head of a table says of its file: `skip 2 decimal "," missing "n/a"`. */
import type * as ast from '../syntax/generated/ast.js';
import type { ColumnRange, FileFormat } from './declaration.js';
import { PLAIN_FORMAT } from './statements.js';

/** Spellings of a separator. */
const SEPARATORS: ReadonlyMap<string, string> = new Map([
  [',', ','],
  [';', ';'],
  ['|', '|'],
  ['tab', '\t'],
  ['\t', '\t'],
  [' ', ' '],
]);
const THOUSANDS: ReadonlySet<string> = new Set(['.', ',', ' ', "'", '’']);

type Tell = (clause: ast.FormatClause, message: string) => void;

/**
 * The clauses of one head as a format. `tell` is given what they say wrongly; such a clause counts as not written.
 */
export function fileFormat(
  clauses: readonly ast.FormatClause[],
  textOf: (written: string) => string,
  tell: Tell,
): FileFormat {
  let format = PLAIN_FORMAT;
  const seen = new Set<string>();
  for (const clause of clauses) {
    if (seen.has(clause.word)) tell(clause, `\`${clause.word}\` is said twice; the first counts. Say it once.`);
    else format = { ...format, ...partOf(clause, clause.texts.map(textOf), message => tell(clause, message)) };
    seen.add(clause.word);
  }
  const together = clauses.at(-1);
  const message = together && contradiction(format);
  if (!message) return format;
  tell(together, message);
  return { ...format, thousands: null, columns: [] };
}

function partOf(
  { word, lines, ranges }: ast.FormatClause,
  texts: readonly string[],
  tell: (message: string) => void,
): Partial<FileFormat> {
  const [first = '', second] = texts;
  const one = (isKnown: boolean, choices: string): boolean => {
    if (second === undefined && isKnown) return true;
    tell(`\`${word}\` takes one of ${choices}.`);
    return false;
  };
  switch (word) {
    case 'skip':
      if (/^\d+$/.test(lines ?? '')) return { skip: Number(lines) };
      tell('`skip` takes a whole number of lines.');
      return {};
    case 'decimal':
      return one(first === '.' || first === ',', '`"."` and `","`') ? { decimal: first as '.' | ',' } : {};
    case 'thousands':
      return one(THOUSANDS.has(first), '`"."`, `","`, `" "` and `"\'"`') ? { thousands: first } : {};
    case 'separator':
      return one(SEPARATORS.has(first), '`","`, `";"`, `"|"`, `"tab"` and `" "` (white space)')
        ? { separator: SEPARATORS.get(first)! }
        : {};
    case 'missing':
      return { missing: texts };
    case 'ignore':
      if (texts.every(text => text.trim() !== '')) return { ignore: texts.map(text => text.trim()) };
      tell('`ignore` takes the beginnings of lines that are no rows; an empty one would be that of all.');
      return {};
    case 'columns':
      return columnsOf(ranges, tell);
    default:
      return {};
  }
}

function columnsOf(ranges: readonly ast.ColumnRange[], tell: (message: string) => void): Partial<FileFormat> {
  const columns = ranges.map(({ first, last }): ColumnRange => ({
    first: Number(first),
    last: last === undefined ? null : Number(last),
  }));
  const isSound = columns.every(
    ({ first, last }) =>
      Number.isInteger(first) && first >= 1 && (last === null || (Number.isInteger(last) && last >= first)),
  );
  if (!isSound) tell('`columns` takes characters of a line, counted from 1: `columns 1..8, 9..16`.');
  else if (new Set(columns.map(({ last }) => last === null)).size > 1)
    tell('`columns` takes either characters of a line (`1..8, 9..16`) or numbers of cells (`1, 3`), not both.');
  else return { columns };
  return {};
}

function contradiction({ decimal, thousands, separator, columns }: FileFormat): string | null {
  if (thousands !== null && thousands === (decimal ?? '.'))
    return `"${thousands}" can't be the decimal sign and stand between thousands. Correct \`decimal\` or \`thousands\`.`;
  if (thousands === ' ' && separator === ' ')
    return "White space can't stand between thousands and between cells. Say `columns 1..8, 9..16` instead.";
  if (separator !== null && columns.some(({ last }) => last !== null))
    return '`columns` of characters need no `separator`. Leave it out.';
  return null;
}
