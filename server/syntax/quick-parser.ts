/**
 * A lean road for text without errors: recursive descent over the same tokens to the same tree as the generated parser,
 * without its
 * concrete syntax tree. It accepts no more than the grammar does and gives up at the first surprise; the generated
 * parser then reads
 * the text, recovers and words the errors. `tests/syntax/quick-parser.test.ts` holds both against each other.
 */
import type { IToken } from 'chevrotain';
import type * as ast from './generated/ast.js';

const GIVE_UP = Symbol('give up');

/** Where the lean road ends: at which token, and whether for its depth. */
export interface GivenUp {
  readonly $type: 'GivenUp';
  readonly at: number;
  readonly tooDeep: boolean;
}

/** The tree for `tokens`, or where the generated parser has to read. */
export function quickParse(tokens: readonly IToken[]): ast.Document | GivenUp {
  const parser = new QuickParser(tokens);
  try {
    return parser.document();
  } catch (reason) {
    if (reason === GIVE_UP || reason instanceof RangeError)
      return { $type: 'GivenUp', at: parser.at, tooDeep: reason instanceof RangeError || parser.depth > DEEPEST };
    throw reason;
  }
}

interface Span {
  offset: number;
  end: number;
}
type Loose = Record<string, unknown>;

const MULTIPLICATION = new Set(['*', '/']);
const ADDITION = new Set(['+', '-']);
const CONVERSION = new Set(['as']);
const RANGE = new Set(['..']);
const COMPARISON = new Set(['<=', '>=', '<', '>', '==', '!=']);
/** From the tightest binding to the loosest, as in the infix rule of the grammar. */
const LEVELS = [MULTIPLICATION, ADDITION, CONVERSION, RANGE, COMPARISON];
const INTERPOLATIONS = new Set(['linear', 'loglog', 'semilog', 'step', 'exact']);
const DEEPEST = 200;

class QuickParser {
  /** The token that is read next. */
  at = 0;
  depth = 0;
  private readonly kinds: readonly string[];

  constructor(private readonly tokens: readonly IToken[]) {
    this.kinds = tokens.map(token => token.tokenType.name);
  }

  document(): ast.Document {
    const start = this.at;
    const result: Loose = { $type: 'Document', statements: [] };
    if (this.kinds[0] === 'PLACEHOLDER') result['placeholder'] = this.placeholder();
    result['statements'] = this.statements();
    if (this.at < this.tokens.length) this.giveUp();
    return this.finish<ast.Document>(result, start);
  }

  // ---- tokens -------------------------------------------------------------------------------------------------------

  private giveUp(): never {
    throw GIVE_UP;
  }

  private is(kind: string): boolean {
    return this.kinds[this.at] === kind;
  }

  private next(kind: string): boolean {
    return this.kinds[this.at + 1] === kind;
  }

  private take(kind: string): string {
    if (this.kinds[this.at] !== kind) this.giveUp();
    return this.tokens[this.at++]!.image;
  }

  private skip(kind: string): boolean {
    if (this.kinds[this.at] !== kind) return false;
    this.at++;
    return true;
  }

  private finish<T>(node: Loose, start: number): T {
    const first = this.tokens[start];
    const last = this.tokens[this.at - 1];
    node['$cstNode'] = (
      first && last && this.at > start ? { offset: first.startOffset, end: last.endOffset! + 1 } : { offset: 0, end: 0 }
    ) satisfies Span;
    return node as T;
  }

  private many<T>(item: () => T): T[] {
    const items = [item()];
    while (this.skip(',')) items.push(item());
    return items;
  }

  // ---- statements ---------------------------------------------------------------------------------------------------

  private statements(): ast.Statement[] {
    const found: ast.Statement[] = [];
    while (this.at < this.tokens.length && !this.is('}')) found.push(this.statement());
    return found;
  }

  private statement(): ast.Statement {
    const start = this.at;
    switch (this.kinds[start]) {
      case 'KEYWORD':
        return this.declaration();
      case 'NAME':
      case 'LABEL':
        return this.next('=') || this.next('.') ? this.field() : this.column();
      case 'slot':
      case 'measured':
        return this.field();
      case 'let':
        return this.let();
      case 'formula':
        return this.formula();
      case 'check':
        return this.check();
      case 'verify':
        return this.verify();
      case 'unit': {
        this.at++;
        const name = this.identifier();
        this.take('=');
        return this.finish({ $type: 'UnitDeclaration', name, value: this.value() }, start);
      }
      case 'use': {
        this.at++;
        const node: Loose = { $type: 'Use', path: this.text() };
        if (this.skip('as')) node['name'] = this.identifier();
        if (this.skip('pin')) node['pin'] = this.text();
        return this.finish(node, start);
      }
      case 'severity':
        return this.severity();
      case 'parent':
        this.at++;
        return this.finish({ $type: 'Parents', targets: this.many(() => this.path()) }, start);
      case 'supersedes':
        this.at++;
        return this.finish({ $type: 'Supersedes', targets: this.many(() => this.path()) }, start);
      case 'rationale':
        this.at++;
        return this.finish({ $type: 'Rationale', text: this.text() }, start);
      case 'source':
        return this.citation('SourceStatement');
      case 'needs':
        this.at++;
        return this.finish({ $type: 'Needs', modes: this.many(() => this.identifier()) }, start);
      case 'given':
        this.at++;
        return this.finish({ $type: 'Given', items: this.many(() => this.parameter()) }, start);
      case 'holds':
        this.at++;
        this.take('while');
        return this.finish({ $type: 'HoldsWhile', condition: this.expression() }, start);
      case 'accepts':
        this.at++;
        return this.finish({ $type: 'Accepts', condition: this.expression() }, start);
      case 'imprint':
        this.at++;
        return this.finish({ $type: 'Imprint', hash: this.take('STRING') }, start);
      case 'checked':
        return this.checkedBy();
      case 'exempt': {
        this.at++;
        const node: Loose = { $type: 'Exempt', targets: this.many(() => this.path()) };
        if (this.skip('because')) node['reason'] = this.text();
        return this.finish(node, start);
      }
      case 'least':
        this.at++;
        return this.finish({ $type: 'Least', goal: this.expression() }, start);
      case 'free':
        this.at++;
        return this.finish({ $type: 'Free', variables: this.many(() => this.path()) }, start);
      case 'study':
        this.at++;
        return this.finish({ $type: 'Study' }, start);
      case 'from':
        this.at++;
        return this.finish({ $type: 'FromStatement', targets: this.many(() => this.path()) }, start);
      default:
        return this.giveUp();
    }
  }

  private declaration(): ast.Declaration {
    const start = this.at;
    const node: Loose = { $type: 'Declaration', keyword: this.take('KEYWORD'), head: [] };
    if (this.is('NAME') || this.is('LABEL')) node['name'] = this.identifier();
    const head = node['head'] as ast.HeadPart[];
    for (let part = this.headPart(); part; part = this.headPart()) head.push(part);
    if (this.skip('=')) node['value'] = this.value();
    const format: ast.FormatClause[] = [];
    for (let clause = this.formatClause(); clause; clause = this.formatClause()) format.push(clause);
    node['format'] = format;
    if (this.is('{')) {
      const open = this.at;
      this.at++;
      const statements = this.statements();
      this.take('}');
      node['block'] = this.finish({ $type: 'Block', statements }, open);
    }
    return this.finish(node, start);
  }

  private formatClause(): ast.FormatClause | null {
    const start = this.at;
    const word = this.kinds[start];
    switch (word) {
      case 'skip':
        this.at++;
        return this.finish({ $type: 'FormatClause', word, lines: this.take('NUMBER'), texts: [], ranges: [] }, start);
      case 'decimal':
      case 'thousands':
      case 'separator':
      case 'missing':
      case 'ignore':
        this.at++;
        return this.finish(
          { $type: 'FormatClause', word, texts: this.many(() => this.take('STRING')), ranges: [] },
          start,
        );
      case 'columns':
        this.at++;
        return this.finish(
          { $type: 'FormatClause', word, texts: [], ranges: this.many(() => this.columnRange()) },
          start,
        );
      default:
        return null;
    }
  }

  private columnRange(): ast.ColumnRange {
    const start = this.at;
    const node: Loose = { $type: 'ColumnRange', first: this.take('NUMBER') };
    if (this.skip('..')) node['last'] = this.take('NUMBER');
    return this.finish(node, start);
  }

  private headPart(): ast.HeadPart | null {
    const start = this.at;
    const kind = this.kinds[start];
    switch (kind) {
      case 'STRING':
        return this.finish({ $type: 'Title', text: this.text() }, start);
      case 'of':
      case 'is':
      case 'on':
      case 'from':
      case 'in':
        this.at++;
        return this.finish({ $type: 'HeadClause', word: kind, targets: this.many(() => this.path()) }, start);
      case 'for':
        this.at++;
        return this.finish({ $type: 'ForClause', items: this.many(() => this.forItem()) }, start);
      default:
        return null;
    }
  }

  private forItem(): ast.ForItem {
    const start = this.at;
    const node: Loose = { $type: 'ForItem', path: this.path() };
    if (this.is('in') || this.is('=')) {
      node['word'] = this.kinds[this.at++];
      node['domain'] = this.expression();
    }
    return this.finish(node, start);
  }

  private field(): ast.Field {
    const start = this.at;
    const node: Loose = { $type: 'Field' };
    if (this.is('slot') || this.is('measured')) node['word'] = this.kinds[this.at++];
    node['path'] = this.path();
    this.take('=');
    node['value'] = this.value();
    return this.finish(node, start);
  }

  private column(): ast.Column {
    const start = this.at;
    const node: Loose = { $type: 'Column', name: this.identifier() };
    if (this.skip('as')) node['unit'] = this.take('UNIT');
    node['above'] = this.skip('above');
    if (this.is('STRING')) node['header'] = this.take('STRING');
    return this.finish(node, start);
  }

  private let(): ast.Let {
    const start = this.at++;
    const node: Loose = { $type: 'Let', name: this.identifier() };
    if (this.is('(')) node['parameters'] = this.parameters();
    if (this.skip(':')) node['type'] = this.type();
    this.take('=');
    node['value'] = this.value();
    return this.finish(node, start);
  }

  private formula(): ast.Formula {
    const start = this.at++;
    const node: Loose = {
      $type: 'Formula',
      name: this.identifier(),
      parameters: this.parameters(),
      conditions: [],
      suffixes: [],
    };
    if (this.skip(':')) node['type'] = this.type();
    this.take('=');
    node['value'] = this.value();
    if (this.skip('requires')) {
      node['conditions'] = this.many(() => this.expression());
      node['suffixes'] = this.suffixes();
    }
    return this.finish(node, start);
  }

  private parameters(): ast.Parameters {
    const start = this.at;
    this.take('(');
    const items = this.is(')') ? [] : this.many(() => this.parameter());
    this.take(')');
    return this.finish({ $type: 'Parameters', items }, start);
  }

  private parameter(): ast.Parameter {
    const start = this.at;
    const node: Loose = { $type: 'Parameter', name: this.identifier() };
    if (this.skip(':')) node['type'] = this.type();
    if (this.skip('=')) node['default'] = this.expression();
    return this.finish(node, start);
  }

  private type(): ast.Type {
    const start = this.at;
    const terms = [this.typeTerm()];
    const operators: string[] = [];
    while (this.is('*') || this.is('/')) {
      operators.push(this.kinds[this.at++]!);
      terms.push(this.typeTerm());
    }
    return this.finish({ $type: 'Type', terms, operators }, start);
  }

  private typeTerm(): ast.TypeTerm {
    const start = this.at;
    if (this.skip('{')) {
      const fields = this.many(() => this.parameter());
      this.take('}');
      return this.finish({ $type: 'RecordType', fields }, start);
    }
    if (this.skip('[')) {
      const element = this.type();
      this.take(']');
      return this.finish({ $type: 'ListType', element }, start);
    }
    const node: Loose = { $type: 'TypeTerm', name: this.identifier() };
    if (this.skip('^')) node['exponent'] = this.take('NUMBER');
    return this.finish(node, start);
  }

  private severity(): ast.Severity {
    const start = this.at++;
    const node: Loose = { $type: 'Severity', code: this.identifier() };
    this.take('=');
    node['level'] = this.identifier();
    if (this.is('by') || this.is('before')) {
      node['word'] = this.kinds[this.at++];
      node['milestone'] = this.identifier();
    }
    return this.finish(node, start);
  }

  private checkedBy(): ast.CheckedBy {
    const start = this.at++;
    const node: Loose = { $type: 'CheckedBy', by: this.text() };
    if (this.is('DATE')) node['date'] = this.take('DATE');
    if (this.skip('imprint')) node['hash'] = this.take('STRING');
    return this.finish(node, start);
  }

  private check(): ast.Check {
    const start = this.at++;
    const node: Loose = { $type: 'Check', binders: [] };
    const named = this.is('NAME') || this.is('LABEL');
    if (this.is('for') || (named && this.next('for'))) {
      if (named) node['mode'] = this.identifier();
      this.take('for');
      node['binders'] = this.many(() => this.binder());
      this.take(':');
    } else if (named && this.next(':')) {
      node['mode'] = this.identifier();
      this.take(':');
    }
    node['value'] = this.value();
    return this.finish(node, start);
  }

  private verify(): ast.Verify {
    const start = this.at++;
    this.take('by');
    return this.finish({ $type: 'Verify', methods: this.many(() => this.method()) }, start);
  }

  private method(): ast.Method {
    const start = this.at;
    const node: Loose = { $type: 'Method', name: this.identifier() };
    if (this.skip('of')) node['of'] = this.identifier();
    if (this.skip('on')) {
      if (this.skip('each')) node['each'] = 'each';
      node['article'] = this.path();
    }
    if (this.is('LEVEL')) node['level'] = this.take('LEVEL');
    if (this.skip('by')) node['milestone'] = this.identifier();
    return this.finish(node, start);
  }

  // ---- values and suffixes ------------------------------------------------------------------------------------------

  private value(): ast.Value {
    const start = this.at;
    const expression = this.expression();
    return this.finish({ $type: 'Value', expression, suffixes: this.suffixes() }, start);
  }

  private suffixes(): ast.Suffix[] {
    const found: ast.Suffix[] = [];
    for (let suffix = this.suffix(); suffix; suffix = this.suffix()) found.push(suffix);
    return found;
  }

  private suffix(): ast.Suffix | null {
    const start = this.at;
    switch (this.kinds[start]) {
      case 'basis':
        this.at++;
        return this.finish({ $type: 'Basis', grade: this.identifier() }, start);
      case 'source':
        return this.citation('Source');
      case 'maturity':
        this.at++;
        return this.finish({ $type: 'Maturity', level: this.identifier() }, start);
      case 'within': {
        this.at++;
        const node: Loose = { $type: 'Within', range: this.expression() };
        if (this.skip('step')) node['step'] = this.expression();
        return this.finish(node, start);
      }
      case 'tbc':
        this.at++;
        return this.finish({ $type: 'Tbc' }, start);
      case 'from':
        this.at++;
        return this.finish({ $type: 'From', targets: this.many(() => this.path()) }, start);
      case 'revision':
        this.at++;
        return this.finish({ $type: 'Revision', text: this.text() }, start);
      case 'under':
        this.at++;
        return this.finish({ $type: 'Under', targets: this.many(() => this.path()) }, start);
      case 'owner':
        this.at++;
        return this.finish({ $type: 'Owner', text: this.text() }, start);
      case 'due':
        this.at++;
        return this.finish({ $type: 'Due', milestone: this.identifier() }, start);
      case 'use':
        // `use "../materials"` on a line of its own is a statement; which it is takes the grammar's own look ahead.
        if (this.next('STRING')) return this.giveUp();
        this.at++;
        return this.finish({ $type: 'UseValue', value: this.expression() }, start);
      case 'at':
        this.at++;
        return this.finish({ $type: 'At', positions: this.expression() }, start);
      case 'in':
        this.at++;
        return this.finish({ $type: 'InFrame', frame: this.path() }, start);
      case 'any':
        this.at++;
        return this.finish({ $type: 'AnyDirection' }, start);
      case 'thin':
        this.at++;
        return this.finish({ $type: 'Thin', limit: this.expression() }, start);
      case 'STRING':
        return this.finish({ $type: 'Citation', text: this.text() }, start);
      default:
        return null;
    }
  }

  private citation<T>(type: string): T {
    const start = this.at++;
    const node: Loose = { $type: type };
    // A name behind `source` is its document unless it begins the next statement.
    if ((this.is('NAME') || this.is('LABEL')) && !this.next('=')) node['document'] = this.path();
    else if (this.is('NAME') || this.is('LABEL')) this.giveUp();
    if (this.is('STRING')) node['text'] = this.text();
    return this.finish(node, start);
  }

  private path(): ast.Path {
    const start = this.at;
    const segments = [this.identifier()];
    while (this.skip('.')) segments.push(this.identifier());
    return this.finish({ $type: 'Path', segments }, start);
  }

  private identifier(): ast.Identifier {
    const start = this.at;
    if (!this.is('NAME') && !this.is('LABEL')) this.giveUp();
    return this.finish({ $type: 'Identifier', text: this.tokens[this.at++]!.image }, start);
  }

  private text(): ast.Text {
    const start = this.at;
    return this.finish({ $type: 'Text', value: this.take('STRING') }, start);
  }

  private binder(): ast.Binder {
    const start = this.at;
    const node: Loose = { $type: 'Binder', name: this.identifier() };
    this.take('in');
    node['domain'] = this.expression();
    if (this.skip('step')) node['step'] = this.expression();
    return this.finish(node, start);
  }

  // ---- expressions --------------------------------------------------------------------------------------------------

  private expression(): ast.Expression {
    return this.nested(() => this.disjunction());
  }

  /** Reads one level deeper; gives up where that is too deep. */
  private nested<T>(read: () => T): T {
    if (++this.depth > DEEPEST) this.giveUp();
    const found = read();
    this.depth--;
    return found;
  }

  private disjunction(): ast.Expression {
    const start = this.at;
    let left = this.conjunction();
    while (this.is('or')) {
      this.at++;
      const right = this.conjunction();
      left = this.finish({ $type: 'Logical', left, operator: 'or', right }, start);
    }
    return left;
  }

  private conjunction(): ast.Expression {
    const start = this.at;
    let left = this.negation();
    while (this.is('and')) {
      this.at++;
      const right = this.negation();
      left = this.finish({ $type: 'Logical', left, operator: 'and', right }, start);
    }
    return left;
  }

  private negation(): ast.Expression {
    const start = this.at;
    if (!this.skip('not')) return this.infix(LEVELS.length - 1);
    const operand = this.nested(() => this.negation());
    return this.finish({ $type: 'Not', operand }, start);
  }

  private infix(level: number): ast.Expression {
    if (level < 0) return this.unary();
    const start = this.at;
    const operators = LEVELS[level]!;
    let left = this.infix(level - 1);
    while (operators.has(this.kinds[this.at]!)) {
      const operator = this.kinds[this.at++];
      const right = this.infix(level - 1);
      left = this.finish({ $type: 'Arithmetic', left, operator, right }, start);
    }
    return left;
  }

  private unary(): ast.Expression {
    const start = this.at;
    if (this.is('-') || this.is('+')) {
      const sign = this.kinds[this.at++];
      const operand = this.nested(() => this.unary());
      return this.finish({ $type: 'Signed', sign, operand }, start);
    }
    if (this.is('UNIT')) return this.finish({ $type: 'UnitName', unit: this.take('UNIT') }, start);
    const nominal = this.power();
    if (!this.is('±') && !this.is('TOLERANCE')) return nominal;
    const node: Loose = { $type: 'Toleranced', nominal };
    if (this.skip('±')) node['spread'] = this.power();
    else node['limits'] = this.take('TOLERANCE');
    if (this.is('normal') || this.is('uniform')) {
      node['distribution'] = this.kinds[this.at++];
      if (this.is('NUMBER')) node['sigmas'] = this.take('NUMBER');
    }
    return this.finish(node, start);
  }

  private power(): ast.Expression {
    const start = this.at;
    const base = this.postfix();
    if (!this.skip('^')) return base;
    const exponent = this.nested(() => this.unary());
    return this.finish({ $type: 'Power', base, exponent }, start);
  }

  private postfix(): ast.Expression {
    const start = this.at;
    let node = this.primary();
    for (;;) {
      if (this.skip('.')) node = this.finish({ $type: 'Member', receiver: node, member: this.identifier() }, start);
      else if (this.skip('(')) {
        const list = this.is(')') ? [] : this.many(() => this.argument());
        this.take(')');
        node = this.finish({ $type: 'Call', callee: node, arguments: list }, start);
      } else if (this.skip('[')) {
        const index = this.expression();
        this.take(']');
        node = this.finish({ $type: 'Index', receiver: node, index }, start);
      } else return node;
    }
  }

  private primary(): ast.Expression {
    const start = this.at;
    switch (this.kinds[start]) {
      case 'NUMBER': {
        const node: Loose = { $type: 'Quantity', value: this.take('NUMBER') };
        if (this.is('UNIT')) node['unit'] = this.take('UNIT');
        return this.finish(node, start);
      }
      case 'NAME':
        return this.finish({ $type: 'NameReference', name: this.take('NAME') }, start);
      case 'STRING':
        return this.finish({ $type: 'TextLiteral', text: this.text() }, start);
      case 'DATE':
        return this.finish({ $type: 'DateLiteral', value: this.take('DATE') }, start);
      case 'true':
      case 'false':
        return this.finish({ $type: 'Truth', value: this.kinds[this.at++] }, start);
      case '#':
        this.at++;
        return this.finish({ $type: 'LabelReference', label: this.identifier() }, start);
      case 'TBD': {
        this.at++;
        const node: Loose = { $type: 'ToBeDetermined' };
        if (this.is('UNIT')) node['unit'] = this.take('UNIT');
        return this.finish(node, start);
      }
      case '(':
        return this.group();
      case '[':
        return this.list();
      case '{':
        return this.record();
      case 'by':
        return this.tableBy();
      case 'if': {
        this.at++;
        const condition = this.expression();
        this.take('then');
        const yes = this.expression();
        this.take('else');
        return this.finish({ $type: 'Conditional', condition, yes, no: this.expression() }, start);
      }
      default:
        return this.giveUp();
    }
  }

  private group(): ast.Expression {
    const start = this.at++;
    const node: Loose = { $type: 'Group', items: this.many(() => this.expression()) };
    this.take(')');
    if (this.is('UNIT')) node['unit'] = this.take('UNIT');
    return this.finish(node, start);
  }

  private list(): ast.Expression {
    const start = this.at++;
    const entries: ast.Entry[] = [];
    while (!this.is(']')) {
      entries.push(this.entry());
      if (!this.skip(',')) break;
    }
    this.take(']');
    const node: Loose = { $type: 'List', entries };
    if (this.is('UNIT')) node['unit'] = this.take('UNIT');
    this.interpolation(node);
    return this.finish(node, start);
  }

  private entry(): ast.Entry {
    const start = this.at;
    const node: Loose = { $type: 'Entry', key: this.expression() };
    if (this.skip('->')) node['value'] = this.expression();
    return this.finish(node, start);
  }

  private interpolation(node: Loose): void {
    if (INTERPOLATIONS.has(this.kinds[this.at]!)) node['interpolation'] = this.kinds[this.at++];
  }

  private record(): ast.Expression {
    const start = this.at++;
    const entries: ast.RecordEntry[] = [];
    do {
      const at = this.at;
      const key = this.identifier();
      this.take(':');
      entries.push(this.finish({ $type: 'RecordEntry', key, value: this.value() }, at));
    } while (this.skip(',') || !this.is('}'));
    this.take('}');
    return this.finish({ $type: 'Record', entries }, start);
  }

  private tableBy(): ast.Expression {
    const start = this.at++;
    const inputs = this.many(() => this.identifier());
    this.take('{');
    const rows: ast.TableRow[] = [];
    do {
      const at = this.at;
      const key = this.expression();
      this.take('->');
      rows.push(this.finish({ $type: 'TableRow', key, value: this.expression() }, at));
    } while (this.skip(',') || !this.is('}'));
    this.take('}');
    const node: Loose = { $type: 'TableBy', inputs, rows };
    this.interpolation(node);
    return this.finish(node, start);
  }

  private argument(): ast.Argument {
    const start = this.at;
    const node: Loose = { $type: 'Argument', binders: [] };
    if (this.skip('for')) {
      node['binders'] = this.many(() => this.binder());
      if (this.skip('where')) node['condition'] = this.expression();
      this.take(':');
    } else if ((this.is('NAME') || this.is('LABEL')) && (this.next('=') || this.next(':'))) {
      node['name'] = this.identifier();
      node['separator'] = this.kinds[this.at++];
    } else if ((this.is('NAME') || this.is('LABEL')) && this.next('in')) {
      node['name'] = this.identifier();
      this.take('in');
      node['range'] = this.expression();
      this.take(':');
    }
    node['value'] = this.expression();
    return this.finish(node, start);
  }

  private placeholder(): ast.Placeholder {
    const start = this.at++;
    const node: Loose = { $type: 'Placeholder', value: this.expression() };
    if (this.skip(',')) node['digits'] = this.take('NUMBER');
    return this.finish(node, start);
  }
}
