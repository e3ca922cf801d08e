/** Declarations and the items in them, as lowered from one piece of a file. Immutable but for the spans. */
import type { BlockKind, FieldOf, FindingCode, HeadPartOf, StatementIn, StatementWord } from '../language/index.js';
import type { Annotations, Binder, Citation, Expression, Reference, TextSegment } from './expression.js';

/** What the files of the formula library begin with. */
export const LIBRARY = 'library:';

/**
 * Where a piece stands. One object per piece of a file, shared by all that was lowered from it; `start` moves when text
 * before it changes.
 */
export interface Placement {
  file: string;
  start: number;
}

/**
 * What the expressions of a piece (a block at the top of a file, with all inside it) mention: one for all declarations
 * of the piece, so
 * that whoever looks for a word need not walk what can't hold it.
 */
export interface Mentions {
  readonly names: readonly string[];
  readonly units: readonly string[];
  /** Whether a number is to be determined. */
  readonly undetermined: boolean;
}

/** Text of a requirement, a title, a rationale: a small item, since it may hold expressions. */
export interface TextItem extends ItemBase {
  readonly kind: 'text';
  readonly segments: readonly TextSegment[];
}

interface ItemBase {
  readonly name: string;
  /** Content without layout: equal hashes mean that nothing needs to run again. */
  readonly hash: string;
  /** Start and end of each node by number, relative to the piece. Replaced when only the layout changed. */
  spans: readonly number[];
  placement: Placement;
}

export interface Parameter {
  readonly id: number;
  readonly name: string;
  readonly type: TypeExpression | null;
  readonly default: Expression | null;
}

export type TypeExpression =
  | {
      readonly kind: 'product';
      readonly terms: readonly { readonly id: number; readonly name: string; readonly exponent: number }[];
    }
  | { readonly kind: 'record'; readonly fields: readonly Parameter[] }
  | { readonly kind: 'list'; readonly element: TypeExpression };

/** A field (`t = 3.2 mm`), a `let` or a `formula`: something with a name and a value. */
export interface ValueItem extends ItemBase {
  readonly kind: 'field' | 'let' | 'formula' | 'slot' | 'measured' | 'unit' | 'override' | 'value';
  readonly id: number; // span number of the name
  readonly path: readonly string[]; // `Bus.payload` in a configuration; one name elsewhere
  readonly parameters: readonly Parameter[] | null;
  readonly type: TypeExpression | null;
  readonly value: Expression;
  readonly annotations: Annotations;
  readonly conditions: readonly Expression[];
  readonly doc: string | null;
}

export interface CheckItem extends ItemBase {
  readonly kind: 'check';
  readonly id: number;
  readonly mode: string | null;
  readonly modeId: number;
  readonly binders: readonly Binder[];
  readonly condition: Expression;
  readonly annotations: Annotations;
}

/** `holds while`, `accepts`, `least`: a condition or a goal. */
export interface ConditionItem extends ItemBase {
  readonly kind: 'holds' | 'accepts' | 'least';
  readonly id: number;
  readonly condition: Expression;
}

/** `for L in [Liftoff], T = 23 degC` of an evidence: the rows it closes. */
export interface RestrictionItem extends ItemBase {
  readonly kind: 'restriction';
  readonly id: number;
  readonly one: boolean;
  readonly domain: Expression;
}

export type Item = ValueItem | CheckItem | ConditionItem | TextItem | RestrictionItem;

export interface Method {
  readonly id: number;
  readonly name: string;
  readonly each: boolean;
  readonly article: Reference | null;
  readonly level: string | null;
  readonly milestone: Reference | null;
}

export interface Column {
  readonly id: number;
  readonly name: string;
  readonly unitText: string | null;
  readonly header: string | null;
  /** Its value stands behind the header in a title above the rows, not in them. */
  readonly above: boolean;
}

/** Characters `first` to `last` of a line, both counted from 1; or the cell of number `first`. */
export interface ColumnRange {
  readonly first: number;
  readonly last: number | null;
}

/** How a data file is written, as its declaration says. */
export interface FileFormat {
  /** Lines before the header. */
  readonly skip: number;
  /** Null where it is not said, which means a point. */
  readonly decimal: '.' | ',' | null;
  /** Sign between thousands; null where there is none. */
  readonly thousands: string | null;
  /** Sign between cells, a space for runs of white space; null where the file tells it. */
  readonly separator: string | null;
  /** Cells that hold no value on purpose. */
  readonly missing: readonly string[];
  /** How lines begin that are no rows. */
  readonly ignore: readonly string[];
  /** Where the columns of the block stand in a line, in their order; empty where their headers tell. */
  readonly columns: readonly ColumnRange[];
}

export interface SeveritySetting {
  readonly id: number;
  readonly code: string;
  readonly level: string;
  readonly milestone: Reference | null;
  readonly before: boolean;
}

/** `exempt Bus.Tray because "…"`. */
export interface Exemption {
  readonly targets: readonly Reference[];
  readonly reason: string | null;
  readonly id: number;
}

export interface Checking {
  readonly by: string;
  readonly date: string | null;
  readonly imprint: string | null;
}

/** `use "../house" as House pin "2.3"`; a number that stands for nothing is -1. */
export interface Use {
  readonly id: number;
  readonly path: string;
  readonly pathId: number;
  readonly name: string | null;
  readonly nameId: number;
  readonly pin: string | null;
  readonly pinId: number;
}

/** What all blocks may say. */
export interface BlockBase {
  /** The word that opens it; `file` at the top of a piece. */
  readonly keyword: string;
  readonly name: string;
  /**
   * Spans of the declaration's own parts: 0 = whole, 1 = keyword, 2 = name; references and methods by their numbers.
   */
  spans: readonly number[];
  placement: Placement;
  readonly mentions: Mentions;
  readonly title: TextItem | null;
  readonly doc: string | null;
  readonly value: ValueItem | null;
  readonly hasBlock: boolean;
  /** Something in it, outside of the declarations in it, can't be read: what it says may not be all. */
  readonly unread: boolean;
  readonly values: readonly ValueItem[];
  readonly checks: readonly CheckItem[];
  readonly conditions: readonly ConditionItem[];
  readonly restrictions: readonly RestrictionItem[];
  readonly children: readonly Declaration[];
  /** What is written in it and belongs into other blocks; null where nothing is. */
  readonly stray: Partial<Statements> | null;
}

/** What words of a head and statements say that only some blocks take. */
export interface Statements {
  readonly of: Reference | null;
  readonly is: Reference | null;
  readonly on: readonly Reference[];
  readonly from: readonly Reference[];
  readonly in: readonly Reference[];
  readonly targets: readonly Reference[];
  readonly format: FileFormat;
  readonly methods: readonly Method[];
  readonly hasVerify: boolean;
  readonly parents: readonly Reference[];
  /** Evidence that later evidence takes the place of. */
  readonly supersedes: readonly Reference[];
  readonly rationale: TextItem | null;
  readonly source: Citation | null;
  readonly needs: readonly Column[];
  readonly given: readonly Parameter[];
  readonly exempt: readonly Exemption[];
  readonly free: readonly Reference[];
  readonly study: boolean;
  readonly imprint: string | null;
  readonly checkedBy: readonly Checking[];
  readonly columns: readonly Column[];
  readonly inputs: readonly Reference[];
  readonly severities: readonly SeveritySetting[];
  readonly uses: readonly Use[];
}

/** What the parts of a head are read into. */
export const SAID_BY_HEAD = {
  of: ['of'],
  is: ['is'],
  on: ['on'],
  from: ['from'],
  in: ['in'],
  for: ['targets'],
  format: ['format'],
} as const satisfies Readonly<Record<string, readonly (keyof Statements)[]>>;

/** What statements are read into. What the values of a table are said to come from is its input, too. */
export const SAID_BY_STATEMENT = {
  verify: ['methods', 'hasVerify'],
  parent: ['parents'],
  supersedes: ['supersedes'],
  rationale: ['rationale'],
  source: ['source'],
  needs: ['needs'],
  given: ['given'],
  exempt: ['exempt'],
  free: ['free'],
  study: ['study'],
  imprint: ['imprint'],
  checked: ['checkedBy'],
  from: ['inputs'],
  column: ['columns', 'inputs'],
  severity: ['severities'],
  use: ['uses'],
} as const satisfies Readonly<Partial<Record<StatementWord, readonly (keyof Statements)[]>>>;

type ByHead = typeof SAID_BY_HEAD;
type ByStatement = typeof SAID_BY_STATEMENT;
/** What a kind of block says by the tables of the language; a field `source` may be written as the statement. */
type SaidIn<K extends BlockKind> =
  | ByHead[HeadPartOf<K> & keyof ByHead][number]
  | ByStatement[(StatementIn<K> | (FieldOf<K> & 'source')) & keyof ByStatement][number];

/** A declaration of a kind of block; of several kinds, one of theirs. */
export type DeclarationOf<K extends BlockKind> = K extends BlockKind
  ? BlockBase & { readonly kind: K } & Pick<Statements, SaidIn<K>>
  : never;

/** A block, or the statements at the top of a piece (`kind` = 'file'). */
export type Declaration = DeclarationOf<BlockKind> | (BlockBase & { readonly kind: 'unknown' });

/** A problem found while lowering; formatted by the catalogue of findings under its code. */
export interface LoweringProblem {
  readonly code: FindingCode;
  readonly start: number;
  readonly end: number;
  readonly data: Readonly<Record<string, string>>;
}

export interface LoweredPiece {
  readonly root: Declaration;
  readonly problems: readonly LoweringProblem[];
}

/** Start and end of node `id` of an item or declaration, in the file. */
export function spanOf(
  owner: { readonly spans: readonly number[]; readonly placement: Placement },
  id: number,
): { start: number; end: number } {
  const { spans, placement } = owner;
  return id * 2 + 1 < spans.length
    ? { start: placement.start + spans[id * 2]!, end: placement.start + spans[id * 2 + 1]! }
    : { start: placement.start, end: placement.start };
}
