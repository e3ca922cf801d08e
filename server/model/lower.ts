/**
 * Tree to items: lowers one parsed piece to declarations that know no syntax. Pure and total: what recovery left out
 * becomes `missing`.
 */
import type { FindingCode } from '../language/index.js';
import type { AstNode } from 'langium';
import { compact, contentHash, isCalendarDate } from '../base/index.js';
import type * as ast from '../syntax/generated/ast.js';
import { parsePlaceholder, type ParsedPiece, type SyntaxProblem } from '../syntax/parser.js';
import { isUnit, parseUnit } from '../units/index.js';
import { fileFormat } from './file-format.js';
import type {
  BlockBase,
  CheckItem,
  Column,
  ConditionItem,
  Declaration,
  FileFormat,
  LoweredPiece,
  LoweringProblem,
  Mentions,
  Method,
  Parameter,
  Placement,
  RestrictionItem,
  SeveritySetting,
  Statements,
  TextItem,
  TypeExpression,
  ValueItem,
  Use,
} from './declaration.js';
import { blockOf, NOTHING_SAID, PLAIN_FORMAT } from './statements.js';
import {
  NO_ANNOTATIONS,
  type Annotations,
  type Argument,
  type BinaryOperator,
  type Binder,
  type Citation,
  type Comparison,
  type Expression,
  type Reference,
  type TextSegment,
} from './expression.js';

type Mutable<T> = { -readonly [K in keyof T]: T[K] };

const BRACKETED: ReadonlySet<Expression['kind']> = new Set(['binary', 'unary', 'chain', 'conditional', 'tolerance']);
const COMPARISONS = new Set(['<=', '>=', '<', '>', '==', '!=']);
/** Whatever walks a tree may recurse this far; a chain of operators is as deep as it is long. */
const DEEPEST_EXPRESSION = 1_000;
const DEEPEST_BLOCK = 100;
const SUMS_AND_PRODUCTS = new Set(['+', '-', '*', '/']);

export function lowerPiece(piece: ParsedPiece, text: string, placement: Placement): LoweredPiece {
  const lowering = new Lowering(text, placement, piece);
  const root = lowering.declaration('file', piece.document, undefined, piece.document.statements ?? []);
  lowering.finishMentions();
  return { root, problems: lowering.problems };
}

/** An item with its hash, which is made when a change asks whether its content is still the same. */
class LoweredItem {
  #hash: string | undefined;

  constructor(
    content: object,
    public spans: readonly number[],
    public placement: Placement,
  ) {
    Object.assign(this, content);
  }

  get hash(): string {
    if (this.#hash === undefined) {
      this.#hash = contentHash(
        JSON.stringify(this, (key, value: unknown) =>
          key === 'spans' || key === 'placement' || key === 'hash' ? undefined : value,
        ),
      );
    }
    return this.#hash;
  }
}

/** Spans of one item, gathered while it is lowered. */
class Spans {
  private readonly ends: number[] = [];
  add(start: number, end: number): number {
    return this.ends.push(start, Math.max(start, end)) / 2 - 1;
  }
  set(id: number, start: number, end: number): void {
    this.ends[id * 2] = start;
    // What is missing behind an operator has no end.
    this.ends[id * 2 + 1] = Math.max(start, end);
  }
  start(id: number): number {
    return this.ends[id * 2]!;
  }
  end(id: number): number {
    return this.ends[id * 2 + 1]!;
  }
  done(): readonly number[] {
    return compact(this.ends);
  }
}

/** What the statements of a declaration come to that have lists of their own. */
interface Parts {
  readonly values: ValueItem[];
  readonly checks: CheckItem[];
  readonly conditions: ConditionItem[];
  readonly children: Declaration[];
}

type Meaning<Statement> = (
  lowering: Lowering,
  statement: Statement,
  said: Mutable<Statements>,
  parts: Parts,
  keyword: string,
) => void;

class Lowering {
  readonly problems: LoweringProblem[] = [];
  private spans = new Spans();
  /** How deep the expression, and the block, stand that are being lowered. */
  private depth = 0;
  private blocks = 0;
  private readonly docs = new Map<number, string>();
  private readonly names = new Set<string>();
  private readonly units = new Set<string>();
  private readonly mentions: Mutable<Mentions> = { names: NONE, units: NONE, undetermined: false };

  constructor(
    private readonly text: string,
    private readonly placement: Placement,
    private readonly piece: ParsedPiece,
  ) {
    this.collectDocs(piece);
  }

  finishMentions(): void {
    this.mentions.names = compact([...this.names]);
    this.mentions.units = compact([...this.units]);
  }

  private named(name: string): string {
    this.names.add(name);
    return name;
  }

  private number(id: number, text: string, unitText: string | null): Expression & { kind: 'number' } {
    if (unitText !== null) this.units.add(unitText);
    return { kind: 'number', id, text, unitText };
  }

  // ---- documentation comments ---------------------------------------------------------------------------------------

  /** `///` lines document the statement that follows them: keyed by where that statement starts. */
  private collectDocs(piece: ParsedPiece): void {
    let lines: string[] = [];
    piece.comments.forEach((comment, i) => {
      if (!comment.doc) {
        lines = [];
        return;
      }
      lines.push(comment.text.replace(/^\/\/\/ ?/, ''));
      const next = piece.comments[i + 1];
      const between = this.text.slice(comment.end, next?.start ?? this.text.length);
      const offset = between.search(/\S/);
      if (offset >= 0) {
        this.docs.set(comment.end + offset, lines.join('\n'));
        lines = [];
      }
    });
  }

  private docOf(node: AstNode): string | null {
    return this.docs.get(this.start(node)) ?? null;
  }

  // ---- declarations -------------------------------------------------------------------------------------------------

  declaration(
    keyword: string,
    node: AstNode,
    head: ast.Declaration | undefined,
    statements: readonly ast.Statement[],
  ): Declaration {
    const outer = this.spans;
    const spans = (this.spans = new Spans());
    spans.add(this.start(node), this.end(node));
    const keywordStart = this.start(node);
    spans.add(keywordStart, keywordStart + (head ? keyword.length : 0));
    const nameSpan = head?.name?.$cstNode
      ? ([this.start(head.name), this.end(head.name)] as const)
      : ([keywordStart, keywordStart + keyword.length] as const);
    spans.add(nameSpan[0], nameSpan[1]);

    const base: Mutable<Omit<BlockBase, 'stray'>> = {
      keyword,
      name: head?.name?.text ?? '',
      spans: EMPTY_SPANS,
      placement: this.placement,
      mentions: this.mentions,
      title: null,
      doc: head ? this.docOf(node) : null,
      value: null,
      hasBlock: !head || !!head.block,
      unread: false,
      values: NONE,
      checks: NONE,
      conditions: NONE,
      restrictions: NONE,
      children: NONE,
    };
    const said: Mutable<Statements> = { ...NOTHING_SAID };
    if (head) said.format = this.format(head.format);
    const parts = {
      values: [] as ValueItem[],
      checks: [] as CheckItem[],
      conditions: [] as ConditionItem[],
      children: [] as Declaration[],
    };
    for (const part of head?.head ?? []) this.headPart(part, base, said);
    if (head?.value) base.value = this.valueItem('value', 'value', ['value'], 2, undefined, head.value, head);
    if (this.blocks === DEEPEST_BLOCK)
      this.problem('syntax', node, {
        message: `Blocks stand more than ${DEEPEST_BLOCK} deep in each other here, and what is deeper is not read.`,
      });
    else {
      this.blocks++;
      for (const statement of statements) if (statement) this.statement(statement, keyword, said, parts);
      this.blocks--;
    }
    base.values = compact(parts.values);
    base.checks = compact(parts.checks);
    base.conditions = compact(parts.conditions);
    base.children = compact(parts.children);
    if (keyword === 'results' || keyword === 'table')
      said.inputs = [...said.inputs, ...parts.values.flatMap(value => value.annotations.from ?? [])];
    const within = new Set(statements.flatMap(each => (each?.$type === 'Declaration' ? this.errorsIn(each) : [])));
    base.unread = this.errorsIn(node).some(problem => !within.has(problem));
    base.spans = spans.done();
    this.spans = outer;
    return blockOf(base, said);
  }

  private headPart(
    part: ast.HeadPart,
    base: Mutable<Pick<BlockBase, 'title' | 'restrictions'>>,
    said: Mutable<Statements>,
  ): void {
    switch (part.$type) {
      case 'Title':
        base.title = this.textItem('title', part.text);
        break;
      case 'HeadClause': {
        const targets = part.targets.map(path => this.reference(path));
        if (part.word === 'of' || part.word === 'is') said[part.word] = targets[0] ?? null;
        else said[part.word] = [...said[part.word], ...targets];
        break;
      }
      case 'ForClause':
        for (const item of part.items) {
          if (item.path && item.word && item.domain) base.restrictions = [...base.restrictions, this.restriction(item)];
          else if (item.path) said.targets = [...said.targets, this.reference(item.path)];
        }
    }
  }

  private restriction(item: ast.ForItem): RestrictionItem {
    return this.item(spans => {
      const id = spans.add(this.start(item.path), this.end(item.path));
      const domain = this.sound(this.expression(item.domain), item);
      return {
        kind: 'restriction',
        name: pathOf(item.path).join('.'),
        id,
        one: item.word === '=',
        domain,
      };
    });
  }

  private statement(statement: ast.Statement, keyword: string, said: Mutable<Statements>, parts: Parts): void {
    // Recovery from a syntax error leaves statements of no kind.
    const mean = Lowering.MEANINGS[statement.$type] as Meaning<ast.Statement> | undefined;
    mean?.(this, statement, said, parts, keyword);
  }

  /** What each statement means: one that has no meaning does not compile. */
  private static readonly MEANINGS: {
    readonly [T in ast.Statement['$type']]: Meaning<Extract<ast.Statement, { $type: T }>>;
  } = {
    Declaration: (lowering, statement, _said, { children }) => {
      const { keyword = '', block } = statement;
      children.push(lowering.declaration(keyword, statement, statement, block?.statements ?? []));
    },
    Field: (lowering, statement, _said, { values }, keyword) => {
      const path = pathOf(statement.path);
      const kind = statement.word ?? (path.length > 1 || keyword === 'configuration' ? 'override' : 'field');
      if (path.length > 0)
        values.push(lowering.valueItem(kind, path.join('.'), path, -1, statement.path, statement.value, statement));
    },
    Let: (lowering, statement, _said, { values }) => lowering.namedItem('let', statement, values),
    Formula: (lowering, statement, _said, { values }) => lowering.namedItem('formula', statement, values),
    UnitDeclaration: (lowering, statement, _said, { values }) => lowering.namedItem('unit', statement, values),
    Check: (lowering, statement, _said, { checks }) => void checks.push(lowering.check(statement, checks.length)),
    HoldsWhile: (lowering, statement, _said, { conditions }) =>
      void conditions.push(lowering.condition('holds', statement, statement.condition)),
    Accepts: (lowering, statement, _said, { conditions }) =>
      void conditions.push(lowering.condition('accepts', statement, statement.condition)),
    Least: (lowering, statement, _said, { conditions }) =>
      void conditions.push(lowering.condition('least', statement, statement.goal)),
    Verify: (lowering, statement, said) => {
      said.hasVerify = true;
      said.methods = compact([...said.methods, ...statement.methods.map(method => lowering.method(method))]);
    },
    Parents: (lowering, statement, said) => {
      said.parents = compact([...said.parents, ...lowering.references(statement.targets)]);
    },
    Supersedes: (lowering, statement, said) => {
      said.supersedes = [...said.supersedes, ...lowering.references(statement.targets)];
    },
    Rationale: (lowering, statement, said) => {
      said.rationale = lowering.textItem('rationale', statement.text);
    },
    SourceStatement: (lowering, statement, said) => {
      said.source = lowering.citation(statement.document, statement.text);
    },
    Needs: (lowering, statement, said) => {
      said.needs = [...said.needs, ...statement.modes.map(mode => lowering.plainColumn(mode.text, mode))];
    },
    Given: (lowering, statement, said) => {
      said.given = [...said.given, ...statement.items.map(item => lowering.parameter(item))];
    },
    Exempt: (lowering, statement, said) => {
      const targets = lowering.references(statement.targets);
      const reason = statement.reason ? plainText(statement.reason.value) : null;
      said.exempt = [...said.exempt, { targets, reason, id: lowering.mark(statement) }];
    },
    Free: (lowering, statement, said) => {
      said.free = [...said.free, ...lowering.references(statement.variables)];
    },
    Study: (_lowering, _statement, said) => {
      said.study = true;
    },
    Imprint: (_lowering, statement, said) => {
      said.imprint = plainText(statement.hash);
    },
    CheckedBy: (_lowering, statement, said) => {
      const imprint = statement.hash ? plainText(statement.hash) : null;
      said.checkedBy = [
        ...said.checkedBy,
        { by: plainText(statement.by?.value), date: statement.date ?? null, imprint },
      ];
    },
    FromStatement: (lowering, statement, said) => {
      said.inputs = [...said.inputs, ...lowering.references(statement.targets)];
    },
    Column: (lowering, statement, said) => {
      if (!statement.name) return;
      const header = statement.header ? plainText(statement.header) : null;
      const column = { name: statement.name.text, unitText: statement.unit ?? null, header, above: statement.above };
      said.columns = [...said.columns, { id: lowering.mark(statement), ...column }];
    },
    Severity: (lowering, statement, said) => {
      said.severities = [...said.severities, lowering.severity(statement)];
    },
    Use: (lowering, statement, said) => {
      said.uses = [...said.uses, lowering.use(statement)];
    },
  };

  /** A `let`, a `formula` or a `unit`, as far as it has a name. */
  private namedItem(
    kind: 'let' | 'formula' | 'unit',
    statement: ast.Let | ast.Formula | ast.UnitDeclaration,
    values: ValueItem[],
  ): void {
    const { name, value } = statement;
    if (!name) return;
    const parameters = 'parameters' in statement ? statement.parameters : undefined;
    const type = 'type' in statement ? statement.type : undefined;
    const formula = statement.$type === 'Formula' ? statement : undefined;
    values.push(this.valueItem(kind, name.text, [name.text], -1, name, value, statement, parameters, type, formula));
  }

  private references(paths: readonly ast.Path[]): Reference[] {
    return paths.map(path => this.reference(path));
  }

  private format(clauses: readonly ast.FormatClause[]): FileFormat {
    if (clauses.length === 0) return PLAIN_FORMAT;
    return fileFormat(clauses, plainText, (clause, message) => this.problem('file-format', clause, { message }));
  }

  private plainColumn(name: string, node: AstNode): Column {
    return { id: this.mark(node), name, unitText: null, header: null, above: false };
  }

  /** Says of a path how to write it for all systems. */
  private path(text: ast.Text | undefined): void {
    const raw = text?.value ?? '';
    if (!raw.includes('\\')) return;
    const written = raw.slice(1, raw.endsWith('"') ? -1 : undefined);
    this.problem('path-backslash', text!, { written, mended: written.replace(/\\+/g, '/') });
  }

  private use(statement: ast.Use): Use {
    const { path, name, pin } = statement;
    this.path(path);
    return {
      id: this.mark(statement),
      path: plainText(path?.value),
      pathId: this.mark(path),
      name: name?.text ?? null,
      nameId: name ? this.mark(name) : -1,
      pin: pin ? plainText(pin.value) : null,
      pinId: pin ? this.mark(pin) : -1,
    };
  }

  private severity(statement: ast.Severity): SeveritySetting {
    return {
      id: this.mark(statement),
      code: statement.code?.text ?? '',
      level: statement.level?.text ?? '',
      milestone: statement.milestone ? this.identifierReference(statement.milestone) : null,
      before: statement.word === 'before',
    };
  }

  private method(method: ast.Method): Method {
    const id = this.mark(method);
    const name = method.of ? `${method.name?.text} of ${method.of.text}` : (method.name?.text ?? '');
    return {
      id,
      name,
      each: !!method.each,
      article: method.article ? this.reference(method.article) : null,
      level: method.level ?? null,
      milestone: method.milestone ? this.identifierReference(method.milestone) : null,
    };
  }

  private mark(node: AstNode | undefined): number {
    return this.spans.add(this.start(node), this.end(node));
  }

  private reference(path: ast.Path): Reference {
    return { id: this.mark(path), path: pathOf(path) };
  }

  private identifierReference(identifier: ast.Identifier): Reference {
    return { id: this.mark(identifier), path: [identifier.text] };
  }

  private citation(document: ast.Path | undefined, text: ast.Text | undefined): Citation {
    return { document: document ? this.reference(document) : null, text: text ? plainText(text.value) : null };
  }

  // ---- items --------------------------------------------------------------------------------------------------------

  /** Runs `build` with fresh spans and finishes the item it makes: spans, hash, placement. */
  private item<T extends { kind: string; name: string }>(
    build: (spans: Spans) => T,
  ): T & { hash: string; spans: readonly number[]; placement: Placement } {
    const outer = this.spans;
    const spans = (this.spans = new Spans());
    const built = build(spans);
    const result = new LoweredItem(built, spans.done(), this.placement) as unknown as T & LoweredItem;
    this.spans = outer;
    return result;
  }

  private valueItem(
    kind: ValueItem['kind'],
    name: string,
    path: readonly string[],
    nameSpan: number,
    nameNode: AstNode | undefined,
    value: ast.Value | undefined,
    node: AstNode,
    parameters?: ast.Parameters,
    type?: ast.Type,
    formula?: ast.Formula,
  ): ValueItem {
    const fixed =
      nameSpan >= 0
        ? ([this.spans.start(nameSpan), this.spans.end(nameSpan)] as const)
        : ([this.start(nameNode!), this.end(nameNode!)] as const);
    return this.item(spans => {
      const id = spans.add(fixed[0], fixed[1]);
      const lowered = parameters?.items.map(parameter => this.parameter(parameter)) ?? null;
      const typed = type ? this.type(type) : null;
      const body = this.expression(value?.expression);
      const conditions = formula?.conditions.map(condition => this.expression(condition)) ?? [];
      return {
        kind,
        id,
        name,
        path,
        parameters: lowered,
        type: typed,
        value: this.sound(body, node),
        annotations: this.annotations([...(value?.suffixes ?? []), ...(formula?.suffixes ?? [])]),
        conditions,
        doc: this.docOf(node),
      };
    });
  }

  private check(check: ast.Check, index: number): CheckItem {
    return this.item(spans => {
      const id = spans.add(this.start(check), this.end(check));
      const modeId = check.mode ? spans.add(this.start(check.mode), this.end(check.mode)) : id;
      const binders = check.binders.map(binder => this.binder(binder));
      const condition = this.expression(check.value?.expression);
      return {
        kind: 'check',
        name: `check ${index + 1}`,
        id,
        mode: check.mode?.text ?? null,
        modeId,
        binders,
        condition: this.sound(condition, check),
        annotations: this.annotations(check.value?.suffixes ?? []),
      };
    });
  }

  private condition(kind: ConditionItem['kind'], node: AstNode, condition: ast.Expression | undefined): ConditionItem {
    return this.item(spans => {
      const id = spans.add(this.start(node), this.end(node));
      return { kind, name: kind, id, condition: this.sound(this.expression(condition), node) };
    });
  }

  private textItem(name: string, text: ast.Text | undefined): TextItem {
    return this.item(spans => {
      spans.add(text ? this.start(text) : 0, text ? this.end(text) : 0);
      return { kind: 'text', name, segments: text ? this.segments(text) : NONE };
    });
  }

  private parameter(parameter: ast.Parameter): Parameter {
    const id = this.mark(parameter.name ?? parameter);
    return {
      id,
      name: parameter.name?.text ?? '',
      type: parameter.type ? this.type(parameter.type) : null,
      default: parameter.default ? this.expression(parameter.default) : null,
    };
  }

  /** A type that is still to be written is none. */
  private type(type: ast.Type | undefined): TypeExpression {
    if (!type) return { kind: 'product', terms: NONE };
    const first = type.terms[0];
    if (first?.$type === 'RecordType')
      return { kind: 'record', fields: (first as ast.RecordType).fields.map(field => this.parameter(field)) };
    if (first?.$type === 'ListType') return { kind: 'list', element: this.type((first as ast.ListType).element) };
    const terms = type.terms.map((term, i) => ({
      id: this.mark(term),
      name: term.name?.text ?? '',
      exponent: (term.exponent ? Number(term.exponent) : 1) * (i > 0 && type.operators[i - 1] === '/' ? -1 : 1),
    }));
    return { kind: 'product', terms };
  }

  private annotations(suffixes: readonly ast.Suffix[]): Annotations {
    if (suffixes.length === 0) return NO_ANNOTATIONS;
    const result: Mutable<Annotations> = {};
    const once = (name: keyof Annotations, word: string, suffix: ast.Suffix): void => {
      if (result[name] !== undefined) this.problem('repeated-suffix', suffix, { word });
    };
    for (const suffix of suffixes) {
      switch (suffix.$type) {
        case 'Basis':
          once('basis', 'basis', suffix);
          result.basis = suffix.grade?.text ?? '';
          break;
        case 'Source':
          once('source', 'source', suffix);
          result.source = this.citation(suffix.document, suffix.text);
          break;
        case 'Maturity':
          once('maturity', 'maturity', suffix);
          result.maturity = suffix.level?.text ?? '';
          break;
        case 'Within':
          once('within', 'within', suffix);
          result.within = this.expression(suffix.range);
          if (suffix.step) result.step = this.expression(suffix.step);
          break;
        case 'Tbc':
          result.tbc = true;
          break;
        case 'From':
          result.from = suffix.targets.map(path => this.reference(path));
          break;
        case 'Revision':
          result.revision = plainText(suffix.text?.value);
          break;
        case 'Under':
          result.under = suffix.targets.map(path => this.reference(path));
          break;
        case 'Owner':
          result.owner = plainText(suffix.text?.value);
          break;
        case 'Due':
          if (suffix.milestone) result.due = this.identifierReference(suffix.milestone);
          if (suffix.date && isCalendarDate(suffix.date)) result.dueDate = suffix.date;
          else if (suffix.date) this.problem('not-a-date', suffix, { text: suffix.date });
          break;
        case 'UseValue':
          result.use = this.expression(suffix.value);
          break;
        case 'At':
          result.positions = this.expression(suffix.positions);
          break;
        case 'InFrame':
          if (suffix.frame) result.frame = this.reference(suffix.frame);
          break;
        case 'AnyDirection':
          result.anyDirection = true;
          break;
        case 'Thin':
          result.thin = this.expression(suffix.limit);
          break;
        case 'Citation':
          result.text = plainText(suffix.text?.value);
      }
    }
    return result;
  }

  private binder(binder: ast.Binder): Binder {
    const id = this.mark(binder.name ?? binder);
    return {
      id,
      name: binder.name?.text ?? '',
      domain: this.expression(binder.domain ?? binder.start),
      isState: binder.start !== undefined,
      step: binder.step ? this.expression(binder.step) : null,
    };
  }

  /** What was recovered of a statement with an error may be another number than the one that is meant: it has none. */
  private sound(expression: Expression, statement: AstNode): Expression {
    return this.errorsIn(statement).length === 0 ? expression : { kind: 'missing', id: expression.id };
  }

  /** Syntax errors in a node, or directly behind it on its line, where it may go on. */
  private errorsIn(node: AstNode): readonly SyntaxProblem[] {
    const { problems } = this.piece;
    if (problems.length === 0) return problems;
    const start = this.start(node);
    let end = this.end(node);
    while (this.text[end] === ' ' || this.text[end] === '\t') end++;
    return problems.filter(problem => problem.start <= end && problem.end >= start);
  }

  // ---- expressions --------------------------------------------------------------------------------------------------

  private expression(node: ast.Expression | undefined): Expression {
    if (!node) return { kind: 'missing', id: this.spans.add(0, 0) };
    if (this.depth === DEEPEST_EXPRESSION) {
      if (this.problems.at(-1)?.code !== 'expression-too-deep') this.problem('expression-too-deep', node, {});
      return { kind: 'missing', id: this.spans.add(this.start(node), this.end(node)) };
    }
    this.depth++;
    const expression = this.expressionOf(node);
    this.depth--;
    return expression;
  }

  private expressionOf(node: ast.Expression): Expression {
    const id = this.spans.add(this.start(node), this.end(node));
    switch (node.$type) {
      case 'Logical': {
        const left = this.expression(node.left);
        return this.binary(id, node.operator, left, this.expression(node.right));
      }
      case 'Arithmetic':
        return this.arithmetic(id, node);
      case 'Not':
        return { kind: 'unary', id, operator: 'not', operand: this.expression((node as ast.Not).operand) };
      case 'Signed':
        return this.signed(id, node);
      case 'Toleranced':
        return this.tolerance(id, node);
      case 'Power': {
        const left = this.expression(node.base);
        return this.binary(id, '^', left, this.expression(node.exponent));
      }
      case 'Member': {
        const receiver = this.expression(node.receiver);
        return {
          kind: 'member',
          id,
          receiver,
          name: this.named(node.member?.text ?? ''),
          nameId: node.member ? this.mark(node.member) : id,
        };
      }
      case 'Call': {
        const callee = this.expression(node.callee);
        const first = node.arguments[0]?.value;
        if (callee.kind === 'name' && callee.name === 'file' && first?.$type === 'TextLiteral') this.path(first.text);
        return { kind: 'call', id, callee, arguments: node.arguments.map(argument => this.argument(argument)) };
      }
      case 'Index': {
        const receiver = this.expression(node.receiver);
        return { kind: 'index', id, receiver, index: this.expression(node.index) };
      }
      case 'Conditional': {
        const condition = this.expression(node.condition);
        const yes = this.expression(node.yes);
        return { kind: 'conditional', id, condition, yes, no: this.expression(node.no) };
      }
      case 'Group':
        return this.group(id, node);
      case 'List':
        return this.list(id, node);
      case 'Record':
        return {
          kind: 'record',
          id,
          entries: node.entries.map(entry => ({
            name: entry.key?.text ?? '',
            value: this.expression(entry.value?.expression),
            annotations: this.annotations(entry.value?.suffixes ?? []),
            ...(entry.local && { local: true as const }),
          })),
        };
      case 'TableBy':
        return this.table(
          id,
          node.inputs.map(input => input.text),
          node.rows,
          node.interpolation ?? null,
        );
      case 'Quantity':
        return this.number(id, node.value, node.unit ?? null);
      case 'DateLiteral':
        return { kind: 'date', id, text: node.value };
      case 'TextLiteral':
        return { kind: 'text', id, segments: node.text ? this.segments(node.text) : [] };
      case 'ToBeDetermined':
        this.mentions.undetermined = true;
        return { kind: 'tbd', id, unitText: node.unit ?? null };
      case 'Truth':
        return { kind: 'truth', id, value: node.value === 'true' };
      case 'LabelReference':
        return { kind: 'label', id, label: node.label?.text ?? '' };
      case 'NameReference':
        return { kind: 'name', id, name: this.named(node.name ?? '') };
      case 'UnitName':
        this.problem('unit-without-number', node, { unit: node.unit });
        return { kind: 'missing', id };
      default:
        // Recovery from a syntax error leaves an expression of no kind.
        return { kind: 'missing', id };
    }
  }

  /** Nodes of an infix rule share the range of the whole chain: their own comes from their operands. */
  private binary(id: number, operator: BinaryOperator, left: Expression, right: Expression): Expression {
    this.spans.set(id, this.spans.start(left.id), Math.max(this.spans.end(right.id), this.spans.end(left.id)));
    return { kind: 'binary', id, operator, left, right };
  }

  private arithmetic(id: number, node: ast.Arithmetic): Expression {
    if (node.operator === 'as') {
      const value = this.expression(node.left);
      const unitText = node.right?.$type === 'UnitName' ? node.right.unit : '';
      this.spans.set(
        id,
        this.spans.start(value.id),
        node.right ? this.end(outermost(node.right, 'right')) : this.spans.end(value.id),
      );
      if (unitText === '') {
        this.problem('unit-expected', node.right ?? node, {});
        return value;
      }
      return { kind: 'conversion', id, value, unitText };
    }
    if (COMPARISONS.has(node.operator) && node.left?.$type === 'Arithmetic' && COMPARISONS.has(node.left.operator))
      return this.chain(id, node);
    if (SUMS_AND_PRODUCTS.has(node.operator))
      for (const side of [node.left, node.right])
        if (side?.$type === 'Toleranced')
          this.problem('unbracketed-tolerance', side, {
            nominal: this.text.slice(this.start(side.nominal), this.end(side.nominal)),
          });
    const left = this.expression(node.left);
    return this.binary(id, node.operator, left, this.expression(node.right));
  }

  private chain(id: number, node: ast.Arithmetic): Expression {
    const operators: Comparison[] = [];
    const nodes: ast.Expression[] = [];
    let current: ast.Expression = node;
    while (current?.$type === 'Arithmetic' && COMPARISONS.has(current.operator)) {
      operators.unshift(current.operator as Comparison);
      nodes.unshift(current.right);
      current = current.left;
    }
    nodes.unshift(current);
    const operands = nodes.map(operand => this.expression(operand));
    this.spans.set(id, this.spans.start(operands[0]!.id), this.spans.end(operands[operands.length - 1]!.id));
    return { kind: 'chain', id, operators, operands };
  }

  /** A sign before a point of temperature belongs to the literal: `-55 degC` is a point, not a negation. */
  private signed(id: number, node: ast.Signed): Expression {
    const operand = this.expression(node.operand);
    const literal = operand.kind === 'tolerance' ? operand.nominal : operand;
    if (literal.kind === 'number' && isPointUnit(literal.unitText)) {
      this.spans.set(literal.id, this.spans.start(id), this.spans.end(literal.id));
      const signed: Expression = { ...literal, text: node.sign === '-' ? `-${literal.text}` : literal.text };
      return operand.kind === 'tolerance' ? { ...operand, nominal: signed } : signed;
    }
    // Deviations count from the signed value: -5 mm (+0.2, -0.0) mm is -5.0 to -4.8 mm.
    if (operand.kind === 'tolerance')
      return { ...operand, nominal: { kind: 'unary', id, operator: node.sign, operand: operand.nominal } };
    return { kind: 'unary', id, operator: node.sign, operand };
  }

  private tolerance(id: number, node: ast.Toleranced): Expression {
    const nominal = this.expression(node.nominal);
    const base = {
      kind: 'tolerance' as const,
      id,
      nominal,
      distribution: node.distribution ?? null,
      sigmas: node.sigmas ? Number(node.sigmas) : null,
    };
    if (!node.limits) {
      const spread = this.expression(node.spread);
      return { ...base, plus: spread, minus: spread, signs: [1, -1] };
    }
    const [first, second, common] = readLimits(node.limits);
    const unit = common ?? first!.unit ?? second!.unit ?? (nominal.kind === 'number' ? nominal.unitText : null);
    const literal = (part: Limit): Expression => this.number(id, part.digits, part.unit ?? unit);
    return { ...base, plus: literal(first!), minus: literal(second!), signs: [first!.sign, second!.sign] };
  }

  private group(id: number, node: ast.Group): Expression {
    if (node.items.length === 1 && !node.unit) {
      const inner = this.expression(node.items[0]);
      // The bracket belongs to what it holds, so that the text of an operand is whole; a name stays its own length.
      if (BRACKETED.has(inner.kind)) this.spans.set(inner.id, this.spans.start(id), this.spans.end(id));
      return inner;
    }
    return { kind: 'group', id, items: this.withUnit(node.items, node.unit) };
  }

  private list(id: number, node: ast.List): Expression {
    if (node.entries.some(entry => entry.value)) return this.table(id, [], node.entries, node.interpolation ?? null);
    if (node.interpolation) this.problem('interpolation-without-table', node, { word: node.interpolation });
    return {
      kind: 'list',
      id,
      items: this.withUnit(
        node.entries.map(entry => entry.key),
        node.unit,
      ),
    };
  }

  /** `(1, 2, 3) mm`: the one unit behind the bracket holds for every bare number in it. */
  private withUnit(items: readonly ast.Expression[], unit: string | undefined): Expression[] {
    return items.map(item => {
      const lowered = this.expression(item);
      if (!unit) return lowered;
      this.units.add(unit);
      return applyUnit(lowered, unit);
    });
  }

  private table(
    id: number,
    inputs: readonly string[],
    rows: readonly { key: ast.Expression; value?: ast.Expression; $cstNode?: AstNode['$cstNode'] }[],
    interpolation: 'linear' | 'loglog' | 'semilog' | 'step' | 'exact' | null,
  ): Expression {
    const lowered = rows.map(row => {
      const key = this.expression(row.key);
      if (!row.value) this.problem('table-row-without-value', row.key, {});
      return { key, value: this.expression(row.value) };
    });
    return { kind: 'table', id, inputs, rows: lowered, interpolation };
  }

  private argument(argument: ast.Argument): Argument {
    const id = argument.name
      ? this.mark(argument.name)
      : argument.value
        ? this.mark(argument.value)
        : this.spans.add(0, 0);
    const binders = argument.binders.map(binder => this.binder(binder));
    const range = argument.range ? this.expression(argument.range) : null;
    const condition = argument.condition ? this.expression(argument.condition) : null;
    const form =
      binders.length > 0
        ? 'each'
        : range || argument.separator === ':'
          ? 'unknown'
          : argument.name
            ? 'named'
            : 'positional';
    return {
      id,
      form,
      name: argument.name?.text ?? null,
      range,
      binders,
      condition,
      value: this.expression(argument.value),
    };
  }

  // ---- texts --------------------------------------------------------------------------------------------------------

  private segments(text: ast.Text): TextSegment[] {
    const raw = text.value ?? '""';
    if (!NEEDS_READING.test(raw) && raw.length > 1 && raw.endsWith('"'))
      return raw.length > 2 ? [raw.slice(1, -1)] : [];
    const start = this.start(text);
    const segments: TextSegment[] = [];
    let plain = '';
    for (let i = 1; i < raw.length - (raw.length > 1 && raw.endsWith('"') ? 1 : 0);) {
      const c = raw[i]!;
      if (c === '\\') {
        plain += unescape(raw[i + 1] ?? '');
        i += 2;
      } else if (c === '{') {
        const end = closingBrace(raw, i);
        if (end < 0) {
          this.problems.push({ code: 'open-placeholder', start: start + i, end: start + raw.length, data: {} });
          plain += raw.slice(i, -1);
          break;
        }
        if (plain) segments.push(plain);
        plain = '';
        segments.push(this.placeholder(raw.slice(i + 1, end), start + i + 1));
        i = end + 1;
      } else {
        plain += c === '\n' ? ' ' : c;
        i++;
      }
    }
    if (plain) segments.push(plain.replace(/\s*\r?\n\s*/g, ' ').replace(/ {2,}/g, ' '));
    return segments;
  }

  private placeholder(source: string, offset: number): TextSegment {
    const { placeholder, problems } = parsePlaceholder(source);
    for (const problem of problems)
      this.problems.push({
        code: 'syntax',
        start: offset + problem.start,
        end: offset + problem.end,
        data: { message: problem.message },
      });
    const outer = this.shift;
    this.shift = offset - 1;
    const value = this.expression(problems.length === 0 ? placeholder?.value : undefined);
    this.shift = outer;
    const digits = placeholder?.digits ? Number(placeholder.digits) : null;
    return value.kind === 'conversion'
      ? { value: value.value, unitText: value.unitText, digits }
      : { value, unitText: null, digits };
  }

  /** Where the little text of a placeholder stands in its piece, less the mark before it; 0 outside. */
  private shift = 0;

  /** What recovery from a syntax error left out stands nowhere. */
  private start(node: AstNode | undefined): number {
    const cst = node?.$cstNode;
    return cst ? cst.offset + this.shift : 0;
  }

  private end(node: AstNode | undefined): number {
    const cst = node?.$cstNode;
    return cst ? cst.end + this.shift : 0;
  }

  private problem(code: FindingCode, node: AstNode, data: Record<string, string>): void {
    this.problems.push({
      code,
      start: this.start(outermost(node, 'left')),
      end: this.end(outermost(node, 'right')),
      data,
    });
  }
}

/** The operand that a chain of operators begins or ends with: its nodes share the range of the whole chain. */
function outermost(node: AstNode, side: 'left' | 'right'): AstNode {
  for (let at = node; ;) {
    const operand =
      at.$type === 'Arithmetic' || at.$type === 'Logical' ? (at as Partial<ast.Arithmetic>)[side] : undefined;
    if (!operand) return at;
    at = operand;
  }
}

/** What makes a quoted text more than what stands between its quotes. */
const NEEDS_READING = /[\\{\r\n]| {2}/;
const EMPTY_SPANS: readonly number[] = [];
/** Most lists of most declarations are empty. */
const NONE: readonly never[] = Object.freeze([]);

function pathOf(path: ast.Path | undefined): string[] {
  return path?.segments.map(segment => segment.text) ?? [];
}

function isPointUnit(text: string | null): boolean {
  if (text === null) return false;
  const unit = parseUnit(text);
  return isUnit(unit) && unit.isPoint;
}

function applyUnit(expression: Expression, unit: string): Expression {
  switch (expression.kind) {
    case 'number':
      return expression.unitText ? expression : { ...expression, unitText: unit };
    case 'unary':
      return { ...expression, operand: applyUnit(expression.operand, unit) };
    case 'tolerance':
      return {
        ...expression,
        nominal: applyUnit(expression.nominal, unit),
        plus: applyUnit(expression.plus, unit),
        minus: applyUnit(expression.minus, unit),
      };
    case 'group':
      return { ...expression, items: expression.items.map(item => applyUnit(item, unit)) };
    case 'list':
      return { ...expression, items: expression.items.map(item => applyUnit(item, unit)) };
    default:
      return expression;
  }
}

interface Limit {
  readonly sign: 1 | -1;
  readonly digits: string;
  readonly unit: string | null;
}

/** `(+0.2, -0.0) mm`: both limits and the unit behind the bracket. */
function readLimits(text: string): [Limit, Limit, string | null] {
  const close = text.indexOf(')');
  const [first, second] = text
    .slice(1, close)
    .split(',')
    .map(part => {
      const match = /^\s*([+\-−])\s*(\d+(?:\.\d+)?(?:[eE][+-]?\d+)?)\s*(\S*)\s*$/.exec(part)!;
      return { sign: match[1] === '+' ? 1 : -1, digits: match[2]!, unit: match[3] === '' ? null : match[3]! } as Limit;
    });
  const common = text.slice(close + 1).trim();
  const ordered: [Limit, Limit] =
    first!.sign > second!.sign ||
    (first!.sign === second!.sign && Number(first!.digits) * first!.sign >= Number(second!.digits) * second!.sign)
      ? [first!, second!]
      : [second!, first!];
  return [...ordered, common === '' ? null : common];
}

function unescape(character: string): string {
  return character === 'n' ? '\n' : character === 't' ? '\t' : character;
}

/** The content of a quoted text without placeholders. */
export function plainText(raw: string | undefined): string {
  if (!raw) return '';
  const inner = raw.slice(1, raw.length > 1 && raw.endsWith('"') ? -1 : undefined);
  return inner.replace(/\\(.)/gs, (_, character: string) => unescape(character)).replace(/\s*\r?\n\s*/g, ' ');
}

function closingBrace(raw: string, open: number): number {
  let depth = 0;
  for (let i = open; i < raw.length; i++) {
    if (raw[i] === '\\') i++;
    else if (raw[i] === '{') depth++;
    else if (raw[i] === '}' && --depth === 0) return i;
  }
  return -1;
}
