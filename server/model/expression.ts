/**
 * Expressions as the model knows them: no syntax, no positions. Each node has a number within its item; the item's
 * spans say where
 * that node stands in the text, so that a change of layout alone moves spans and touches nothing else.
 */
export type Interpolation = 'linear' | 'loglog' | 'semilog' | 'step' | 'exact';

interface Node {
  readonly id: number;
}

export interface NumberLiteral extends Node {
  readonly kind: 'number';
  readonly text: string;
  readonly unitText: string | null;
}
export interface TextLiteral extends Node {
  readonly kind: 'text';
  readonly segments: readonly TextSegment[];
}
export interface DateLiteral extends Node {
  readonly kind: 'date';
  readonly text: string;
}
export interface TruthLiteral extends Node {
  readonly kind: 'truth';
  readonly value: boolean;
}
export interface Name extends Node {
  readonly kind: 'name';
  readonly name: string;
}
export interface Label extends Node {
  readonly kind: 'label';
  readonly label: string;
}
export interface Member extends Node {
  readonly kind: 'member';
  readonly receiver: Expression;
  readonly name: string;
  readonly nameId: number;
}
export interface Call extends Node {
  readonly kind: 'call';
  readonly callee: Expression;
  readonly arguments: readonly Argument[];
}
export interface Index extends Node {
  readonly kind: 'index';
  readonly receiver: Expression;
  readonly index: Expression;
}
export interface Unary extends Node {
  readonly kind: 'unary';
  readonly operator: '-' | '+' | 'not';
  readonly operand: Expression;
}
export interface Binary extends Node {
  readonly kind: 'binary';
  readonly operator: BinaryOperator;
  readonly left: Expression;
  readonly right: Expression;
}
/** `lo <= x <= hi`. */
export interface Chain extends Node {
  readonly kind: 'chain';
  readonly operators: readonly Comparison[];
  readonly operands: readonly Expression[];
}
export interface Conditional extends Node {
  readonly kind: 'conditional';
  readonly condition: Expression;
  readonly yes: Expression;
  readonly no: Expression;
}
export interface List extends Node {
  readonly kind: 'list';
  readonly items: readonly Expression[];
}
/** `(x, y, z) mm`; a bracket around one expression leaves no node. */
export interface Group extends Node {
  readonly kind: 'group';
  readonly items: readonly Expression[];
}
export interface Record extends Node {
  readonly kind: 'record';
  readonly entries: readonly RecordEntry[];
}
export interface RecordEntry {
  readonly name: string;
  readonly value: Expression;
  readonly annotations: Annotations;
  /** `let` in the braces: entries behind it read it, and it is no entry itself. */
  readonly local?: true;
}
/** A table of one input (`inputs` empty when unnamed) or of two, the second in the cells. */
export interface Table extends Node {
  readonly kind: 'table';
  readonly inputs: readonly string[];
  readonly rows: readonly { readonly key: Expression; readonly value: Expression }[];
  readonly interpolation: Interpolation | null;
}
export interface Tolerance extends Node {
  readonly kind: 'tolerance';
  readonly nominal: Expression;
  readonly plus: Expression;
  readonly minus: Expression;
  readonly signs: readonly [number, number];
  readonly distribution: 'normal' | 'uniform' | null;
  readonly sigmas: number | null;
}
export interface Conversion extends Node {
  readonly kind: 'conversion';
  readonly value: Expression;
  readonly unitText: string;
}
/** `TBD kg owner "mass lead" due CDR use 0.4 kg`. */
export interface ToBeDetermined extends Node {
  readonly kind: 'tbd';
  readonly unitText: string | null;
}
/** What recovery left where a value should stand. Its error is reported by the parser. */
export interface Missing extends Node {
  readonly kind: 'missing';
}

export type Comparison = '<=' | '>=' | '<' | '>' | '==' | '!=';
export type BinaryOperator = '+' | '-' | '*' | '/' | '^' | 'and' | 'or' | '..' | Comparison;
export type Expression =
  | NumberLiteral
  | TextLiteral
  | DateLiteral
  | TruthLiteral
  | Name
  | Label
  | Member
  | Call
  | Index
  | Unary
  | Binary
  | Chain
  | Conditional
  | List
  | Group
  | Record
  | Table
  | Tolerance
  | Conversion
  | ToBeDetermined
  | Missing;

export type TextSegment =
  string | { readonly value: Expression; readonly unitText: string | null; readonly digits: number | null };

export interface Binder {
  readonly id: number;
  readonly name: string;
  /** What it runs over; of the state of a fold, what that is at first. */
  readonly domain: Expression;
  readonly isState: boolean;
  readonly step: Expression | null;
}
export interface Argument {
  readonly id: number;
  /**
   * Named (`b = width`), bound as an unknown (`k: …`, or `x in lo .. hi: …`), or a comprehension (`for p in xs where …:
   * …`).
   */
  readonly form: 'positional' | 'named' | 'unknown' | 'each';
  readonly name: string | null;
  readonly range: Expression | null;
  readonly binders: readonly Binder[];
  readonly condition: Expression | null;
  readonly value: Expression;
}

/** What may follow a value and binds to it alone. */
export interface Annotations {
  readonly basis?: string;
  readonly source?: Citation;
  readonly maturity?: string;
  readonly within?: Expression;
  readonly step?: Expression;
  readonly tbc?: boolean;
  readonly from?: readonly Reference[];
  readonly revision?: string;
  readonly under?: readonly Reference[];
  readonly owner?: string;
  readonly due?: Reference;
  /** The day by which it is due, where that is no milestone's; ISO. */
  readonly dueDate?: string;
  readonly use?: Expression;
  readonly positions?: Expression;
  readonly frame?: Reference;
  readonly anyDirection?: boolean;
  readonly thin?: Expression;
  readonly text?: string;
}

/** Where a value comes from: a document of the project, a place in it, or words alone. */
export interface Citation {
  readonly document: Reference | null;
  readonly text: string | null;
}

/** A name or label outside an expression (`of CfPrint`, `parent SYS-004`), with its number in the item's spans. */
export interface Reference {
  readonly id: number;
  readonly path: readonly string[];
}

export const NO_ANNOTATIONS: Annotations = Object.freeze({});

/** Every direct sub-expression, in reading order. */
export function children(expression: Expression): readonly Expression[] {
  switch (expression.kind) {
    case 'number':
    case 'date':
    case 'truth':
    case 'name':
    case 'label':
    case 'tbd':
    case 'missing':
      return [];
    case 'text':
      return expression.segments.flatMap(segment => (typeof segment === 'string' ? [] : [segment.value]));
    case 'member':
      return [expression.receiver];
    case 'call':
      return [expression.callee, ...expression.arguments.flatMap(argumentParts)];
    case 'index':
      return [expression.receiver, expression.index];
    case 'unary':
      return [expression.operand];
    case 'binary':
      return [expression.left, expression.right];
    case 'chain':
      return expression.operands;
    case 'conditional':
      return [expression.condition, expression.yes, expression.no];
    case 'list':
    case 'group':
      return expression.items;
    case 'record':
      return expression.entries.map(entry => entry.value);
    case 'table':
      return expression.rows.flatMap(row => [row.key, row.value]);
    case 'tolerance':
      return [expression.nominal, expression.plus, expression.minus];
    case 'conversion':
      return [expression.value];
  }
}

function argumentParts(argument: Argument): Expression[] {
  const parts = argument.binders.flatMap(binder => (binder.step ? [binder.domain, binder.step] : [binder.domain]));
  if (argument.range) parts.push(argument.range);
  if (argument.condition) parts.push(argument.condition);
  parts.push(argument.value);
  return parts;
}

/** Calls `visit` for `expression` and everything below it, in reading order. */
export function walk(expression: Expression, visit: (node: Expression) => void): void {
  if (isLeaf(expression)) return visit(expression);
  const stack = [expression];
  while (stack.length > 0) {
    const node = stack.pop()!;
    visit(node);
    if (!isLeaf(node)) pushBelow(stack, node);
  }
}

function isLeaf(expression: Expression): boolean {
  return expression.kind === 'number' || expression.kind === 'name';
}

/**
 * The direct sub-expressions, the first on top. The common kinds make no list of their own: walks are what a rule does
 * most.
 */
function pushBelow(stack: Expression[], node: Expression): void {
  switch (node.kind) {
    case 'member':
      stack.push(node.receiver);
      return;
    case 'unary':
      stack.push(node.operand);
      return;
    case 'binary':
      stack.push(node.right, node.left);
      return;
    case 'index':
      stack.push(node.index, node.receiver);
      return;
    case 'table':
      for (let i = node.rows.length - 1; i >= 0; i--) stack.push(node.rows[i]!.value, node.rows[i]!.key);
      return;
  }
  const below = children(node);
  for (let i = below.length - 1; i >= 0; i--) stack.push(below[i]!);
}
