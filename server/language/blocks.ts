/** The blocks of the language with all that they take, and what is asked of them. */
import { BLOCK_ROWS, type BlockKind, type BlockRow, type BlockWord } from './block-rows.js';
import { STATEMENTS, type StatementRow } from './statements.js';

/** Words that open a block or a declaration with a head: `part Bus "…" { … }`. */
export const BLOCK_WORDS: ReadonlySet<string> = new Set(Object.keys(BLOCK_ROWS).filter(word => word !== 'file'));

export interface Block extends BlockRow {
  readonly kind: string;
  /** Statements beside fields and blocks that may stand inside. */
  readonly statements: readonly string[];
}

/** Every word in a row is one of the language: held here by its type. */
const rows: Readonly<Record<BlockKind, BlockRow<BlockWord>>> = BLOCK_ROWS;
export const BLOCKS: ReadonlyMap<string, Block> = new Map(
  Object.entries<BlockRow>(rows).map(([kind, row]): [string, Block] => [
    kind,
    {
      kind,
      ...row,
      ...(kind === 'file' && { children: [...BLOCK_WORDS] }),
      statements: Object.entries<StatementRow>(STATEMENTS).flatMap(([word, { standsIn }]) =>
        standsIn.some(each => each === kind) ? [word] : [],
      ),
    },
  ]),
);

/** Whether expressions name a block; the others are cited by their labels alone. */
export const isNamedInExpressions = (kind: string): boolean => BLOCKS.get(kind)?.isNamedInExpressions === true;

/** Blocks that a label may name. */
export const LABELLED_BLOCKS: readonly string[] = [...BLOCKS.values()]
  .filter(({ name }) => name === 'label' || name === 'either')
  .map(({ kind }) => kind);

/** Fields that are read as words or references and never calculated. */
export function isCalculated(kind: string, field: string): boolean {
  const type = BLOCKS.get(kind)?.fields[field]?.type;
  return type !== 'word' && type !== 'file' && !(type === 'reference' && field === 'source');
}
