/** What each word, number and sign of a text is, for colouring. */
import { declared } from '../model/statements.js';
import { BUILTINS, CONSTANTS } from '../engine/elaboration/builtins.js';
import { BLOCKS } from '../language/index.js';
import type { Entity } from '../model/namespace.js';
import type { Project } from '../project/project.js';
import { PLACEHOLDER_MARK, tokenize } from '../syntax/parser.js';
import { Reader } from '../syntax/tolerant/reader.js';
import { roleOf, type Role } from '../syntax/tolerant/rules.js';
import { readText } from '../syntax/tolerant/text.js';
import { endOf, isTree, kindOf, type Token, type Tree } from '../syntax/tolerant/tree.js';
import { BLOCK_KINDS } from './block-kinds.js';

/** Types of the protocol where one fits; `unit` is our own. */
export const TOKEN_TYPES = [
  'namespace',
  'type',
  'class',
  'struct',
  'event',
  'enumMember',
  'variable',
  'property',
  'parameter',
  'function',
  'number',
  'string',
  'keyword',
  'comment',
  'operator',
  'label',
  'unit',
] as const;
export const TOKEN_MODIFIERS = ['declaration', 'readonly', 'defaultLibrary', 'documentation', 'modification'] as const;
export type TokenType = (typeof TOKEN_TYPES)[number];
type Modifier = (typeof TOKEN_MODIFIERS)[number];

export interface TypedToken {
  readonly start: number;
  readonly end: number;
  readonly type: TokenType;
  readonly modifiers: readonly Modifier[];
}

type Typed = Pick<TypedToken, 'type' | 'modifiers'>;

const OPERATORS = new Set(['+', '-', '*', '/', '^', '<=', '>=', '<', '>', '==', '!=', '..', '±', '->', '=']);
const WORDS = /^[a-z]+$/i;
const DECLARED: readonly Modifier[] = ['declaration'];
const NONE: readonly Modifier[] = [];
const LIBRARY: readonly Modifier[] = ['defaultLibrary'];

export function typedTokens(project: Project, text: string): TypedToken[] {
  const found: TypedToken[] = [];
  for (const { tree, comments, start: base } of readText(text)) {
    for (const { start, end, doc } of comments)
      found.push({ start: base + start, end: base + end, type: 'comment', modifiers: doc ? ['documentation'] : NONE });
    new Walk(project, found).all(tree, base);
  }
  return found.sort((x, y) => x.start - y.start);
}

/** What a name is by its place alone. */
const NAMES: Partial<Record<Role | '', Typed>> = {
  'Member.member': { type: 'property', modifiers: NONE },
  'Path.segments': { type: 'property', modifiers: NONE },
  'Let.name': { type: 'variable', modifiers: DECLARED },
  'Formula.name': { type: 'function', modifiers: DECLARED },
  'UnitDeclaration.name': { type: 'unit', modifiers: DECLARED },
  'Use.name': { type: 'namespace', modifiers: DECLARED },
  'Column.name': { type: 'property', modifiers: DECLARED },
  'RecordEntry.key': { type: 'property', modifiers: DECLARED },
  'TypeTerm.name': { type: 'type', modifiers: LIBRARY },
  'Argument.name': { type: 'parameter', modifiers: NONE },
  ...each(['Check.mode', 'Needs.modes', 'Method.name', 'Method.of', 'Severity.code', 'Severity.level'], {
    type: 'enumMember',
    modifiers: NONE,
  }),
  ...each(['Basis.grade', 'Maturity.level'], { type: 'enumMember', modifiers: NONE }),
};

function each(roles: readonly Role[], typed: Typed): Partial<Record<Role, Typed>> {
  return Object.fromEntries(roles.map(role => [role, typed]));
}

/** A node on the way down, with the next of its parts. */
interface Level {
  readonly node: Tree;
  readonly role: Role | '';
  next: number;
}

class Walk {
  private readonly levels: Level[] = [];
  private readonly entities: Entity[];
  /** Names that parameters and sweeps bind in the statement that is read. */
  private bound = new Set<string>();

  constructor(
    private readonly project: Project,
    private readonly found: TypedToken[],
    entity: Entity = project.namespace.root,
    private readonly keys: string[] = [],
  ) {
    this.entities = [entity];
  }

  /** `base`: where the text of the tree stands. */
  all(tree: Tree, base: number): void {
    this.levels.push({ node: tree, role: '', next: 0 });
    for (let level = this.levels.at(-1); level; level = this.levels.at(-1)) {
      const part = level.node.parts[level.next++];
      if (!part) this.leave();
      else if (isTree(part.value)) this.enter(part.value, roleOf(level.node.type, part.property));
      else this.token(part.value, roleOf(level.node.type, part.property), base);
    }
  }

  private enter(node: Tree, role: Role | ''): void {
    if (role === 'Block.statements' || role === 'Document.statements') this.bound = new Set();
    if (node.type === 'Declaration') {
      const keyword = node.token('keyword')?.image ?? '';
      this.keys.push(node.token('name')?.image ?? `<${keyword}>`);
      const { namespace } = this.project;
      this.entities.push(namespace.entities.get(this.keys.join('.')) ?? namespace.root);
    }
    this.levels.push({ node, role, next: 0 });
  }

  private leave(): void {
    if (this.levels.pop()?.node.type !== 'Declaration') return;
    this.keys.pop();
    this.entities.pop();
  }

  private token(token: Token, role: Role | '', base: number): void {
    if (token.image === '' || kindOf(token) === 'PLACEHOLDER') return;
    const start = base + token.startOffset;
    if (kindOf(token) === 'STRING') return this.text(token.image, start);
    const typed = this.typed(token, role);
    if (typed) this.found.push({ start, end: base + endOf(token), ...typed });
  }

  private typed(token: Token, role: Role | ''): Typed | null {
    const kind = kindOf(token);
    switch (kind) {
      case 'NAME':
        return this.name(token.image, role);
      case 'LABEL':
        return { type: 'label', modifiers: this.place(role) === 'Declaration.name' ? DECLARED : NONE };
      case 'NUMBER':
      case 'DATE':
      case 'TOLERANCE':
        return { type: 'number', modifiers: NONE };
      case 'UNIT':
        return { type: 'unit', modifiers: NONE };
      case 'KEYWORD':
      case 'LEVEL':
        return { type: 'keyword', modifiers: NONE };
      default:
        if (OPERATORS.has(kind)) return { type: 'operator', modifiers: NONE };
        return WORDS.test(kind) ? { type: 'keyword', modifiers: NONE } : null;
    }
  }

  /** The node so many levels out. */
  private around(out: number): Level | undefined {
    return this.levels.at(-1 - out);
  }

  /** What a name is in the node that it is meant for: a path stands for its first name. */
  private place(role: Role | ''): Role | '' {
    if (role !== 'Identifier.text') return role;
    const level = this.around(0)!;
    const path = this.around(1);
    return level.role === 'Path.segments' && path?.next === 1 ? path.role : level.role;
  }

  private name(name: string, role: Role | ''): Typed {
    const place = this.place(role);
    const owner = this.around(role === 'Identifier.text' ? 1 : 0)?.node;
    if (BINDING.has(place) || this.binds(place, owner)) {
      this.bound.add(name);
      return { type: 'parameter', modifiers: DECLARED };
    }
    if (place === 'Declaration.name') {
      const keyword = owner?.token('keyword')?.image ?? '';
      return { type: BLOCK_KINDS.get(keyword)?.token ?? 'label', modifiers: DECLARED };
    }
    if (place === 'Let.name' && owner?.node('parameters')) return { type: 'function', modifiers: DECLARED };
    if (place === 'RecordEntry.key' && owner?.token('local')) return { type: 'variable', modifiers: DECLARED };
    if (place === 'Field.path' && owner?.nodes('segments').length === 1)
      return { type: 'property', modifiers: DECLARED };
    if (place === 'NameReference.name' && this.isWord()) return { type: 'enumMember', modifiers: NONE };
    const known = NAMES[place];
    if (known) return known;
    return this.bound.has(name) ? { type: 'parameter', modifiers: NONE } : this.meaning(name);
  }

  private binds(place: Role | '', owner: Tree | undefined): boolean {
    if (place === 'Argument.name') return owner?.token('separator')?.image !== '=';
    return place === 'ForItem.path' && this.around(2)?.node.token('word') !== null;
  }

  /** Whether a name is a word that its field takes. */
  private isWord(): boolean {
    const field = this.around(2);
    if (this.around(0)?.role !== 'Value.expression' || field?.node.type !== 'Field') return false;
    const block = this.levels.findLast(({ node }) => node.type === 'Declaration')?.node;
    const row = BLOCKS.get(block?.token('keyword')?.image ?? '');
    return row?.fields[field.node.token('path')?.image ?? '']?.type === 'word';
  }

  /** What a name means, by the scopes it is looked up in. */
  private meaning(name: string): Typed {
    for (let at: Entity | null = this.entities.at(-1) ?? null; at; at = at.parent) {
      const item = at.values.get(name);
      if (item)
        return { type: item.parameters ? 'function' : item.kind === 'let' ? 'variable' : 'property', modifiers: NONE };
      const member = at.members.get(name);
      if (member) return { type: BLOCK_KINDS.get(member.kind)?.token ?? 'label', modifiers: NONE };
      if (at.kind === 'kind' && declared(at, 'kind').given.some(parameter => parameter.name === name))
        return { type: 'property', modifiers: NONE };
    }
    for (const entity of this.project.namespace.named(name))
      return { type: BLOCK_KINDS.get(entity.kind)?.token ?? 'label', modifiers: NONE };
    if (this.project.library.root.values.has(name) || BUILTINS.has(name))
      return { type: 'function', modifiers: LIBRARY };
    return CONSTANTS.has(name)
      ? { type: 'variable', modifiers: ['readonly', 'defaultLibrary'] }
      : { type: 'variable', modifiers: NONE };
  }

  /** A text with the expressions in its braces. */
  private text(image: string, start: number): void {
    let from = 0;
    const plain = (to: number): void => {
      if (to > from) this.found.push({ start: start + from, end: start + to, type: 'string', modifiers: NONE });
    };
    for (let i = 1; i < image.length; i++) {
      if (image[i] === '\\') i++;
      else if (image[i] === '{') {
        const close = image.indexOf('}', i);
        if (close < 0) break;
        plain(i + 1);
        const { tokens } = tokenize(PLACEHOLDER_MARK + image.slice(i + 1, close));
        new Walk(this.project, this.found, this.entities.at(-1), this.keys).all(new Reader(tokens).tree(), start + i);
        from = close;
        i = close;
      }
    }
    plain(image.length);
  }
}

const BINDING: ReadonlySet<Role | ''> = new Set(['Binder.name', 'Parameter.name', 'TableBy.inputs']);
