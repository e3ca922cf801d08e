/** What the lean parser is made on: tokens one by one, nodes, and giving up at the first surprise. */
import type { IToken } from 'chevrotain';

/** A node of the tree while it is made. */
export type Node = Record<string, unknown>;

const GIVE_UP = Symbol('give up');
/** Of rules that are open and lead back to themselves; an expression in brackets opens three. */
const DEEPEST = 600;
const END = '<end>';

/** Where a text is given up: at which token, and whether for its depth. */
export interface GivenUp {
  readonly $type: 'GivenUp';
  readonly at: number;
  readonly tooDeep: boolean;
}

export abstract class Descent {
  /** The token that is read next. */
  at = 0;
  depth = 0;
  /** Names of the types of the tokens, and the end twice, which is looked at beyond them. */
  protected readonly kinds: readonly string[];

  constructor(protected readonly tokens: readonly IToken[]) {
    this.kinds = [...tokens.map(token => token.tokenType.name), END, END];
  }

  /** What a rule makes of all tokens, or where it was given up. */
  whole<T>(rule: () => T): T | GivenUp {
    try {
      const found = rule();
      if (this.at === this.tokens.length) return found;
    } catch (reason) {
      if (reason instanceof RangeError) this.depth = Infinity;
      else if (reason !== GIVE_UP) throw reason;
    }
    return { $type: 'GivenUp', at: this.at, tooDeep: this.depth > DEEPEST };
  }

  protected giveUp(): never {
    throw GIVE_UP;
  }

  protected deeper(): void {
    if (++this.depth > DEEPEST) this.giveUp();
  }

  protected take(kind: string): string {
    if (this.kinds[this.at] !== kind) this.giveUp();
    return this.tokens[this.at++]!.image;
  }

  protected takeOneOf(kinds: ReadonlySet<string | undefined>): string {
    if (!kinds.has(this.kinds[this.at])) this.giveUp();
    return this.tokens[this.at++]!.image;
  }

  /** The node with where it stands, from its first token to the last that was read. */
  protected finish<T>(node: Node, start: number): T {
    const first = this.tokens[start];
    const last = this.tokens[this.at - 1];
    node['$cstNode'] =
      first && last && this.at > start
        ? { offset: first.startOffset, end: last.endOffset! + 1 }
        : { offset: 0, end: 0 };
    return node as T;
  }

  /** Reads on into a node, and takes it back where that fails or leads to what can't follow. */
  protected attempt(node: Node, follow: ReadonlySet<string | undefined>, read: () => void): boolean {
    const { at, depth } = this;
    const before = Object.entries(node).map(
      ([key, value]) => [key, Array.isArray(value) ? [...value] : value] as const,
    );
    try {
      read();
      if (follow.has(this.kinds[this.at])) return true;
    } catch (reason) {
      if (reason !== GIVE_UP || this.depth > DEEPEST) throw reason;
    }
    this.at = at;
    this.depth = depth;
    for (const key of Object.keys(node)) delete node[key];
    Object.assign(node, Object.fromEntries(before));
    return false;
  }
}
