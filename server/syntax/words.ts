/**
 * Words of the language and where each may act as a word rather than a name. Almost none is reserved: a word in one
 * place is a name in another.
 */

/** Always words, except behind a dot. */
export const RESERVED: ReadonlySet<string> = new Set([
  'and',
  'or',
  'not',
  'if',
  'then',
  'else',
  'for',
  'in',
  'as',
  'true',
  'false',
  'TBD',
]);

/** Words that open a block or a declaration with a head: `part Bus "…" { … }`. */
export const BLOCK_WORDS: ReadonlySet<string> = new Set([
  'project',
  'document',
  'milestone',
  'environment',
  'load',
  'case',
  'factors',
  'growth',
  'material',
  'lot',
  'part',
  'kind',
  'frame',
  'requirement',
  'evidence',
  'waiver',
  'article',
  'results',
  'table',
  'configuration',
  'assume',
  'size',
  'nonconformance',
]);

/** Words that begin a statement without `=`. */
export const STATEMENT_WORDS: ReadonlySet<string> = new Set([
  'let',
  'formula',
  'unit',
  'use',
  'severity',
  'check',
  'verify',
  'parent',
  'supersedes',
  'rationale',
  'source',
  'needs',
  'given',
  'holds',
  'accepts',
  'imprint',
  'checked',
  'exempt',
  'least',
  'free',
  'study',
  'slot',
  'measured',
  'from',
]);

/** Words that follow a value or a head and bind to it. */
export const SUFFIX_WORDS: ReadonlySet<string> = new Set([
  'basis',
  'source',
  'maturity',
  'within',
  'step',
  'tbc',
  'from',
  'revision',
  'under',
  'owner',
  'due',
  'use',
  'at',
  'any',
  'thin',
  'because',
  'requires',
  'where',
  'linear',
  'loglog',
  'semilog',
  'exact',
  'normal',
  'uniform',
  'of',
  'is',
  'on',
  'by',
  'while',
  'each',
  'before',
]);

/** Words of a table's or results' head that say how its file is written; names everywhere else. */
export const FORMAT_WORDS: ReadonlySet<string> = new Set([
  'skip',
  'decimal',
  'thousands',
  'separator',
  'missing',
  'ignore',
  'columns',
]);

/** Words behind which a label (`STR-010`) may stand, as in the comma list they open. */
export const LABEL_WORDS: ReadonlySet<string> = new Set([
  'requirement',
  'lot',
  'evidence',
  'waiver',
  'article',
  'assume',
  'nonconformance',
  'parent',
  'supersedes',
  'for',
  'of',
  'from',
  'by',
  'on',
  'under',
  'due',
  'severity',
  'before',
  'each',
  '#',
]);

/** Verification levels, words only inside `verify by`. */
export const LEVEL_WORDS: ReadonlySet<string> = new Set([
  'qualification',
  'acceptance',
  'protoflight',
  'development',
  'flight',
]);

/** Words that complete a value and are never a unit behind a number. */
const NEVER_UNITS = new Set([...RESERVED, ...SUFFIX_WORDS, ...STATEMENT_WORDS, 'skip']);
NEVER_UNITS.delete('in');
export function mayBeUnit(word: string): boolean {
  return !NEVER_UNITS.has(word);
}
