/** Every word of the language in each way in which it acts, and what the lexer asks of words. */
import { CHOICES, TEST_LEVELS } from './choices.js';
import { CLAUSES, FORMATS, HEADS, INTERPOLATIONS, OPERATORS, SUFFIXES, TYPES } from './clauses.js';
import type { WordRow } from './row.js';
import { STATEMENTS } from './statements.js';

export type WordKind =
  'statement' | 'suffix' | 'clause' | 'head' | 'operator' | 'interpolation' | 'format' | 'type' | 'choice';

export interface Word extends WordRow {
  readonly word: string;
  readonly kind: WordKind;
}

const TABLES: Readonly<Record<Exclude<WordKind, 'choice'>, Readonly<Record<string, WordRow>>>> = {
  statement: STATEMENTS,
  suffix: SUFFIXES,
  clause: CLAUSES,
  head: HEADS,
  operator: OPERATORS,
  interpolation: INTERPOLATIONS,
  format: FORMATS,
  type: TYPES,
};

export const WORDS: readonly Word[] = [
  ...Object.entries(TABLES).flatMap(([kind, rows]) =>
    Object.entries(rows).map(([word, row]): Word => ({ word, kind: kind as WordKind, ...row })),
  ),
  ...Object.entries(CHOICES).flatMap(([form, choices]) =>
    Object.entries(choices).map(([word, documentation]): Word => ({ word, kind: 'choice', form, documentation })),
  ),
];

/** A word where it acts as one of these kinds, in their order; null where it has no such use. */
export function wordRow(name: string, ...kinds: readonly WordKind[]): Word | null {
  for (const kind of kinds) {
    const found = WORDS.find(entry => entry.word === name && entry.kind === kind);
    if (found) return found;
  }
  return null;
}

/** Nodes whose words are all of one kind. */
const KINDS_IN: Readonly<Record<string, WordKind>> = {
  HeadClause: 'head',
  ForClause: 'head',
  FormatClause: 'format',
  Interpolation: 'interpolation',
};
/** Nodes of expressions in which a word that has both uses is an operator. */
const IN_NODES: readonly WordKind[] = ['operator', 'clause', 'statement', 'suffix', 'choice'];

/** What a word does in a node of the tree of its type. */
export function rowOf(word: string, node: string): Word | null {
  const own = WORDS.find(row => row.word === word && row.node === node);
  return own ?? wordRow(word, ...(node in KINDS_IN ? [KINDS_IN[node]!] : IN_NODES));
}

// ---- What the lexer asks --------------------------------------------------------------------------------------------
// Almost no word is reserved: a word in one place is a name in another.

const wordsWhere = (holds: (word: Word) => boolean): ReadonlySet<string> =>
  new Set(WORDS.filter(word => word.kind !== 'choice' && word.kind !== 'type' && holds(word)).map(({ word }) => word));

/** Always words, except behind a dot. */
export const RESERVED = wordsWhere(({ kind }) => kind === 'operator');

/** Words that begin a statement without `=`. */
export const STATEMENT_WORDS = wordsWhere(({ kind, wordless }) => kind === 'statement' && !wordless);

/** Words that follow a value or a head and bind to it. */
export const SUFFIX_WORDS = wordsWhere(
  ({ word, kind, isNameElsewhere }) =>
    ['suffix', 'clause', 'head', 'interpolation'].includes(kind) && !isNameElsewhere && !RESERVED.has(word),
);

/** Words of a table's or results' head that say how its file is written; names everywhere else. */
export const FORMAT_WORDS = wordsWhere(({ kind }) => kind === 'format');

/** Those among them that act in brackets as well. */
export const SUFFIXES_IN_BRACKETS = wordsWhere(
  ({ kind, continues }) => kind === 'interpolation' || (continues?.some(what => !(what in STATEMENTS)) ?? false),
);

/** Words behind which a label (`STR-010`) may stand, as in the comma list they open. */
export const LABEL_WORDS: ReadonlySet<string> = new Set([...wordsWhere(({ labels }) => labels === true), '#']);

/** Verification levels, words only inside `verify by`. */
export const LEVEL_WORDS: ReadonlySet<string> = new Set(TEST_LEVELS);

/** Types of token behind which a value is complete, so that the next word may be a suffix or begin a statement. */
export const ENDS_OPERAND: ReadonlySet<string> = new Set([
  'NAME',
  'LABEL',
  'UNIT',
  'NUMBER',
  'STRING',
  'DATE',
  'TOLERANCE',
  'LEVEL',
  ')',
  ']',
  '}',
  ...wordsWhere(({ complete }) => complete === true),
]);

/** Words that complete a value and are never a unit behind a number. */
const NEVER_UNITS = new Set([...RESERVED, ...SUFFIX_WORDS, ...STATEMENT_WORDS, 'skip']);
NEVER_UNITS.delete('in');
export function mayBeUnit(word: string): boolean {
  return !NEVER_UNITS.has(word);
}
