/** What each word, number and sign of a text is, for colouring. */
import { BUILTINS, CONSTANTS } from '../engine/elaboration/builtins.js';
import { BLOCKS } from '../language/index.js';
import type { Entity } from '../model/namespace.js';
import type { Project } from '../project/project.js';
import { tokenize } from '../syntax/parser.js';
import { BLOCK_KINDS } from './block-kinds.js';
import { endOf, typeOf, walkFrames, type Frame, type Token } from './caret.js';
import { declared } from '../model/statements.js';

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

const OPERATORS = new Set(['+', '-', '*', '/', '^', '<=', '>=', '<', '>', '==', '!=', '..', '±', '->', '=']);
const WORDS = /^[a-z]+$/i;
const DECLARED: readonly Modifier[] = ['declaration'];
const NONE: readonly Modifier[] = [];
const LIBRARY: readonly Modifier[] = ['defaultLibrary'];

export function typedTokens(project: Project, text: string): TypedToken[] {
  const { tokens: all, comments } = tokenize(text);
  const tokens = all.filter(token => token.image !== '');
  const found: TypedToken[] = comments.map(({ start, end, doc }) => ({
    start,
    end,
    type: 'comment',
    modifiers: doc ? ['documentation'] : NONE,
  }));
  const reader = new Reader(project, tokens);
  walkFrames(tokens, (token, i, frames) => {
    if (typeOf(token) === 'STRING')
      found.push(
        ...pieces(token.image, token.startOffset, name => reader.meaning(name, frames, reader.headAround(frames, i))),
      );
    else {
      const typed = reader.typed(token, i, frames);
      if (typed) found.push({ start: token.startOffset, end: endOf(token), ...typed });
    }
  });
  return found.sort((x, y) => x.start - y.start);
}

type Typed = Pick<TypedToken, 'type' | 'modifiers'>;

class Reader {
  private readonly entities = new Map<string, Entity | null>();
  /** Names that parameters and sweeps bind in the statement that is read. */
  private bound = new Set<string>();
  private statement = -1;

  constructor(
    private readonly project: Project,
    private readonly tokens: readonly Token[],
  ) {}

  typed(token: Token, i: number, frames: readonly Frame[]): Typed | null {
    const block = frames.findLast(frame => frame.kind === 'block')!;
    if (block.statement !== this.statement) {
      this.statement = block.statement;
      this.bound = new Set();
    }
    const type = typeOf(token);
    switch (type) {
      case 'NAME':
        return this.name(token.image, i, frames, block);
      case 'LABEL':
        return { type: 'label', modifiers: typeOf(this.tokens[i - 1]) === 'KEYWORD' ? DECLARED : NONE };
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
        return OPERATORS.has(type)
          ? { type: 'operator', modifiers: NONE }
          : WORDS.test(type)
            ? { type: 'keyword', modifiers: NONE }
            : null;
    }
  }

  private name(name: string, i: number, frames: readonly Frame[], block: Frame): Typed {
    const [before, behind] = [typeOf(this.tokens[i - 1]), typeOf(this.tokens[i + 1])];
    const head = typeOf(this.tokens[block.statement]);
    const top = frames.at(-1)!;
    if (before === '.') return { type: 'property', modifiers: NONE };
    if (before === 'KEYWORD')
      return { type: BLOCK_KINDS.get(this.tokens[i - 1]!.image)?.token ?? 'label', modifiers: DECLARED };
    if (before === 'let' || before === 'formula')
      return { type: behind === '(' ? 'function' : 'variable', modifiers: DECLARED };
    if (before === 'unit') return { type: 'unit', modifiers: DECLARED };
    if (top === block && (i === block.statement || before === 'measured' || before === 'slot') && behind === '=')
      return { type: 'property', modifiers: DECLARED };
    if (top === block && this.isWord(head, before, behind, block)) return { type: 'enumMember', modifiers: NONE };
    if (top.kind === 'call' && behind === '=') return { type: 'parameter', modifiers: NONE };
    if (this.binds(i, head, before, behind, top, block)) {
      this.bound.add(name);
      return { type: 'parameter', modifiers: DECLARED };
    }
    if (before === ':' && (head === 'formula' || head === 'let' || head === 'given') && !this.bound.has(name))
      return { type: 'type', modifiers: LIBRARY };
    return this.bound.has(name) ? { type: 'parameter', modifiers: NONE } : this.meaning(name, frames);
  }

  /** A word from a list rather than a name: a mode, a method, a grade, what a field takes. */
  private isWord(head: string, before: string, behind: string, block: Frame): boolean {
    if (before === 'check') return behind === ':' || behind === 'for';
    if (head === 'verify') return before === 'by' || before === ',';
    if (head === 'needs' || head === 'severity') return true;
    if (before === 'basis' || before === 'maturity') return true;
    return (
      before === '=' && BLOCKS.get(block.keyword)?.fields[this.tokens[block.statement]?.image ?? '']?.type === 'word'
    );
  }

  private binds(i: number, head: string, before: string, behind: string, top: Frame, block: Frame): boolean {
    if (behind === 'in') return before === 'for' || before === ',' || before === '(';
    if (top.kind === 'call' && behind === ':' && before === '(' && head !== 'let' && head !== 'formula') return true;
    const inParameters =
      (head === 'let' || head === 'formula') &&
      top.opener === block.statement + 2 &&
      (before === '(' || before === ',');
    return (
      inParameters ||
      (top.kind === 'call' &&
        behind === ':' &&
        (before === '(' || before === ',') &&
        this.tokens[i + 2] !== undefined) ||
      (head === 'given' && behind === ':' && (before === 'given' || before === ','))
    );
  }

  /** What a name means, by the scopes it is looked up in. */
  meaning(name: string, frames: readonly Frame[], head = ''): Typed {
    for (let at: Entity | null = this.entityOf(frames, head); at; at = at.parent) {
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

  /** The block whose head a text stands in, by its name; empty elsewhere. */
  headAround(frames: readonly Frame[], i: number): string {
    const { statement } = frames.at(-1)!;
    const [keyword, name] = [this.tokens[statement], this.tokens[statement + 1]];
    return typeOf(keyword) === 'KEYWORD' && statement + 1 < i && (typeOf(name) === 'NAME' || typeOf(name) === 'LABEL')
      ? name!.image
      : '';
  }

  private entityOf(frames: readonly Frame[], head: string): Entity {
    const { namespace } = this.project;
    const key = frames
      .filter(frame => frame.kind === 'block' && frame.keyword !== 'file')
      .map(frame => frame.name || `<${frame.keyword}>`)
      .concat(head === '' ? [] : [head])
      .join('.');
    let found = this.entities.get(key);
    if (found === undefined) this.entities.set(key, (found = namespace.entities.get(key) ?? null));
    return found ?? namespace.root;
  }
}

/** A text with the expressions in its braces. */
function pieces(image: string, start: number, meaning: (name: string) => Typed): TypedToken[] {
  const found: TypedToken[] = [];
  let from = 0;
  const plain = (to: number): void => {
    if (to > from) found.push({ start: start + from, end: start + to, type: 'string', modifiers: NONE });
  };
  for (let i = 1; i < image.length; i++) {
    if (image[i] === '\\') i++;
    else if (image[i] === '{') {
      const close = image.indexOf('}', i);
      if (close < 0) break;
      plain(i + 1);
      for (const token of tokenize(image.slice(i + 1, close)).tokens) {
        const type = typeOf(token);
        const typed: Typed | null =
          type === 'NAME'
            ? meaning(token.image)
            : type === 'NUMBER'
              ? { type: 'number', modifiers: NONE }
              : type === 'UNIT'
                ? { type: 'unit', modifiers: NONE }
                : OPERATORS.has(type)
                  ? { type: 'operator', modifiers: NONE }
                  : WORDS.test(type)
                    ? { type: 'keyword', modifiers: NONE }
                    : null;
        if (typed && token.image !== '')
          found.push({ start: start + i + 1 + token.startOffset, end: start + i + 1 + endOf(token), ...typed });
      }
      from = close;
      i = close;
    }
  }
  plain(image.length);
  return found;
}
