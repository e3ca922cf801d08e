/** The tolerant tree: every token of a text, in nodes of the grammar; what is missing is simply not there. */
import type { IToken } from 'chevrotain';
import { looseness, roleOf, type Role } from './rules.js';

export type Token = IToken;

/** What a node holds: under which name, and in which order. A token that fits nowhere has no name. */
export interface Part {
  readonly property: string;
  readonly value: Token | Tree;
}

/** Parts while they are read: the last one, and those before it. */
export interface PartsRead {
  readonly part: Part;
  readonly before: PartsRead | null;
}

/** A node, complete or being read. */
export class Tree {
  private list: readonly Part[] | undefined;

  constructor(
    readonly type: string,
    readonly read: PartsRead | null,
    /** From its first character to behind the last; empty where nothing is there. */
    readonly start: number,
    readonly end: number,
  ) {}

  get parts(): readonly Part[] {
    if (this.list) return this.list;
    const parts: Part[] = [];
    for (let at = this.read; at; at = at.before) parts.push(at.part);
    return (this.list = parts.reverse());
  }

  /** The nodes under a name. */
  nodes(property: string): readonly Tree[] {
    return this.parts.flatMap(part => (part.property === property && isTree(part.value) ? [part.value] : []));
  }

  node(property: string): Tree | null {
    return this.nodes(property)[0] ?? null;
  }

  /** The first token under a name, or of the node there. */
  token(property: string): Token | null {
    const found = this.parts.find(part => part.property === property)?.value;
    return found === undefined ? null : isTree(found) ? found.first : found;
  }

  get first(): Token | null {
    for (const { value } of this.parts) {
      const token = isTree(value) ? value.first : value;
      if (token) return token;
    }
    return null;
  }

  get last(): Part | null {
    return this.read?.part ?? null;
  }
}

/** A node on the way from the file to the caret, with what it has so far, and what it is in the one around it. */
export interface Open {
  readonly node: Tree;
  readonly role: Role | '';
}

export const isTree = (value: Token | Tree): value is Tree => value instanceof Tree;
export const kindOf = (token: Token | null | undefined): string => token?.tokenType.name ?? '';
export const endOf = (token: Token): number => token.endOffset! + 1;

/** An operator among operands, with where what it binds before it begins and ends. */
export interface Operator {
  readonly sign: string;
  readonly start: number;
  readonly end: number;
}

/** The operators that an operand is due behind, from the one that binds last to the one directly before it. */
export function operatorsBefore({ type, parts }: Tree): readonly Operator[] {
  const open: Operator[] = [];
  let operand: Tree | null = null;
  for (const { property, value } of parts) {
    if (isTree(value)) operand = value;
    else if (property === 'operator' && operand) {
      const sign = kindOf(value);
      let { start } = operand;
      while (open.length > 0 && looseness(type, open.at(-1)!.sign) <= looseness(type, sign)) ({ start } = open.pop()!);
      open.push({ sign, start, end: operand.end });
    }
  }
  return open;
}

/** Each node below one, with its role in the node around it, from the outside in. */
export function* nodesOf(tree: Tree, role: Role | '' = ''): Iterable<Open> {
  const open: Open[] = [{ node: tree, role }];
  for (let at = open.pop(); at; at = open.pop()) {
    yield at;
    const { parts, type } = at.node;
    for (let i = parts.length - 1; i >= 0; i--) {
      const { property, value } = parts[i]!;
      if (isTree(value)) open.push({ node: value, role: roleOf(type, property) });
    }
  }
}
