/** Rules that are being read: entered, gone on in, left. None is changed, so that several ways share what they can. */
import { PLACES, RULES, type Place, type Rule } from './rules.js';
import { endOf, Tree, type PartsRead, type Token } from './tree.js';

/** A rule up to a place in it. */
export interface Frame {
  readonly rule: Rule;
  readonly at: Place;
  readonly parent: Frame | null;
  /** The place of the parent at which it stands. */
  readonly entry: Place | null;
  readonly type: string;
  readonly parts: PartsRead | null;
  /** Its first token. */
  readonly from: number;
  /** The same for frames at the same place inside of the same ones. */
  readonly id: number;
}

/** Over the tokens of one text; `i` is the one that is read next. */
export class Frames {
  private readonly ids = new Map<number, number>();

  constructor(private readonly tokens: readonly Token[]) {}

  outermost(): Frame {
    const rule = RULES.get('Document')!;
    return this.frame(rule, rule.start, null, null, rule.type, null, 0);
  }

  enter(parent: Frame, entry: Place, rule: Rule, i: number): Frame {
    return this.frame(rule, rule.start, parent, entry, rule.type, null, i);
  }

  /** The frame behind a place, with what stands there; null where that is missing. */
  behind(frame: Frame, place: Place, value: Token | Tree | null, i: number): Frame {
    let { type, parts } = frame;
    const { makes, property } = place;
    if (makes?.property !== undefined)
      parts = { part: { property: makes.property, value: this.node(frame, i) }, before: null };
    if (makes) ({ type } = makes);
    if (value) parts = { part: { property, value }, before: parts };
    return this.frame(frame.rule, place, frame.parent, frame.entry, type, parts, frame.from);
  }

  /** The frame around one that ends here. */
  leave(frame: Frame, parent: Frame, i: number): Frame {
    const entry = frame.entry!;
    const { parts } = frame;
    const single = frame.rule.isInfix && parts?.before === null ? parts.part.value : null;
    if (entry.property === '') {
      const { type, read } = single instanceof Tree ? single : { type: frame.type, read: parts };
      return this.frame(parent.rule, entry, parent.parent, parent.entry, type, read, parent.from);
    }
    const value = single instanceof Tree ? single : this.node(frame, i);
    return this.behind(parent, entry, value.read ? value : null, i);
  }

  /** A token that fits nowhere stays where it is. */
  with(frame: Frame, i: number): Frame {
    return { ...frame, parts: { part: { property: '', value: this.tokens[i]! }, before: frame.parts } };
  }

  node({ type, parts, from }: Frame, i: number): Tree {
    const [first, last] = [this.tokens[from], this.tokens[i - 1]];
    return first && last && i > from
      ? new Tree(type, parts, first.startOffset, endOf(last))
      : new Tree(type, parts, 0, 0);
  }

  private frame(
    rule: Rule,
    at: Place,
    parent: Frame | null,
    entry: Place | null,
    type: string,
    parts: PartsRead | null,
    from: number,
  ): Frame {
    const key = ((parent?.id ?? 0) * PLACES + (entry?.number ?? 0)) * PLACES + at.number;
    let id = this.ids.get(key);
    if (id === undefined) this.ids.set(key, (id = this.ids.size + 1));
    return { rule, at, parent, entry, type, parts, from, id };
  }
}

/** Whether statements stand in it. */
export const isList = ({ rule: { name } }: Frame): boolean => name === 'Block' || name === 'Document';

/** Whether it has brackets of its own, inside which a line begins no statement. */
export const isBracketed = ({ rule: { name }, type }: Frame): boolean => BRACKETED.has(name) || BRACKETED.has(type);

const BRACKETED: ReadonlySet<string> = new Set(['Group', 'List', 'Record', 'TableBy', 'Parameters', 'Call', 'Index']);

/** Whether token `i` begins a statement in it. */
export function isBegunWith(frame: Frame, i: number): boolean {
  for (let at: Frame | null = frame; at?.from === i; at = at.parent)
    if (at.entry?.property === 'statements') return true;
  return false;
}

/** Frames that end with one another; more than people write. */
const MOST_LEFT = 300;

/** Whether a kind of token may come once a frame is left. */
export function leadsTo({ entry, parent }: Frame, kind: string): boolean {
  let at = entry;
  let around = parent;
  for (let left = 0; at && around && left < MOST_LEFT; left++) {
    if (at.ahead.has(kind)) return true;
    if (!at.ends) return false;
    at = around.entry;
    around = around.parent;
  }
  return false;
}
