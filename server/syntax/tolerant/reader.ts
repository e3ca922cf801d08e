/**
 * Reads any tokens along the grammar, in every way that is still open: a tree of what is there, and what may come next.
 * Where no way goes on, one thing is taken for missing; else what stands around goes on; else the token is left out.
 */
import { Frames, isBegunWith, isBracketed, isList, leadsTo, type Frame } from './frames.js';
import type { Place, Role } from './rules.js';
import { kindOf, type Open, type Token, type Tree } from './tree.js';

/** Ways that are followed at a time, and steps to look for one. What has more is not written by people. */
const MOST_WAYS = 6;
const MOST_STEPS = 3000;
const MOST_STEPS_AMISS = 200;

/** What the grammar takes next: a kind of token, with the nodes that it would stand in. */
export class Expectation {
  private nodes: readonly Open[] | undefined;

  constructor(
    private readonly frame: Frame,
    private readonly place: Place,
    private readonly reader: Reader,
  ) {}

  get kind(): string {
    return this.place.token ?? '';
  }

  /** Type of the node around it. */
  get type(): string {
    return this.place.type;
  }

  get role(): Role | '' {
    return this.place.role;
  }

  /** From the file inwards; the last is the node that the token would stand in. */
  get path(): readonly Open[] {
    return (this.nodes ??= this.reader.path(this.frame, this.place));
  }
}

export class Reader {
  private ways: readonly Frame[];
  private readonly frames: Frames;
  private readonly kinds: readonly string[];

  /** `outline`: blocks that are closed again are passed over. */
  constructor(
    private readonly tokens: readonly Token[],
    { outline = false } = {},
  ) {
    this.kinds = tokens.map(kindOf);
    this.frames = new Frames(tokens);
    this.ways = [this.frames.outermost()];
    const closers = closersOf(this.kinds);
    for (let i = 0; i < tokens.length; i++) {
      this.take(i);
      const closer = closers[i]!;
      if (outline && closer > 0 && this.ways.every(({ rule: { name } }) => name === 'Block')) i = closer - 1;
    }
  }

  tree(): Tree {
    const end = this.tokens.length;
    let frame = this.ways[0]!;
    while (frame.parent) frame = this.frames.leave(frame, frame.parent, end);
    return this.frames.node(frame, end);
  }

  /** What may come next, from the inside out. */
  expected(): readonly Expectation[] {
    const found: Expectation[] = [];
    this.reach(this.ways, this.tokens.length, null, MOST_STEPS, frame => {
      for (const place of frame.at.next) if (place.token !== null) found.push(new Expectation(frame, place, this));
      return false;
    });
    return found;
  }

  /** Nodes around a place that is not taken yet. Rules that only hand on to others are none. */
  path(frame: Frame, place: Place): readonly Open[] {
    const frames: Frame[] = [];
    for (let at: Frame | null = frame; at; at = at.parent) frames.unshift(at);
    const found: Open[] = [];
    let role: Role | '' = '';
    let isNode = true;
    frames.forEach((each, i) => {
      if (isNode && each.entry && each.entry.role !== '') ({ role } = each.entry);
      const { rule, property } = frames[i + 1]?.entry ?? place;
      isNode = each.parts !== null || !(each.rule.isInfix || (rule && property === ''));
      if (isNode) found.push({ node: this.frames.node(each, this.tokens.length), role });
    });
    return found;
  }

  private take(i: number): void {
    const kind = this.kinds[i]!;
    const ways =
      some(this.beginsField(i) ? this.around(i, isList) : []) ??
      some(this.onto(this.ways, i)) ??
      some(this.withOneMissing(i)) ??
      some(this.around(i, (_, at) => at.later.some(place => begins(place, kind)))) ??
      this.ways.map(frame => this.frames.with(frame, i));
    // Behind others on its line a token goes on with them where it can.
    const going = this.isFirstOnLine(i) ? ways : ways.filter(frame => !isBegunWith(frame, i));
    this.ways = some(going) ?? ways;
  }

  /** The ways on over token `i`. */
  private onto(ways: readonly Frame[], i: number): readonly Frame[] {
    const kind = this.kinds[i]!;
    const found: Frame[] = [];
    this.reach(ways, i, kind, MOST_STEPS, frame => {
      for (const place of frame.at.next) {
        if (place.token !== kind) continue;
        const next = this.frames.behind(frame, place, this.tokens[i]!, i);
        if (!found.some(({ id }) => id === next.id)) found.push(next);
      }
      return found.length >= MOST_WAYS;
    });
    return found;
  }

  /** The ways on where one token or rule before token `i` is missing. */
  private withOneMissing(i: number): readonly Frame[] {
    let found: readonly Frame[] = [];
    this.reach(this.ways, i, null, MOST_STEPS_AMISS, frame => {
      for (const place of frame.at.next)
        if (found.length === 0) found = this.onto([this.frames.behind(frame, place, null, i)], i);
      return found.length > 0;
    });
    return found;
  }

  /**
   * Calls `visit` for each frame that is reached before token `i` by leaving rules and entering others, from the inside
   * out, until it says to stop; with a kind of token only where this may come.
   */
  private reach(
    ways: readonly Frame[],
    i: number,
    kind: string | null,
    most: number,
    visit: (frame: Frame) => boolean,
  ): void {
    const open = [...ways].reverse();
    const seen = new Set<number>();
    for (let steps = 0; steps < most; steps++) {
      const frame = open.pop();
      if (!frame) return;
      if (kind === null) {
        if (seen.has(frame.id)) continue;
        seen.add(frame.id);
      }
      const { at, parent } = frame;
      if (at.ends && parent && (kind === null || leadsTo(frame, kind))) open.push(this.frames.leave(frame, parent, i));
      for (let n = at.next.length - 1; n >= 0; n--) {
        const place = at.next[n]!;
        const { rule } = place;
        if (rule && (kind === null || rule.firsts.has(kind))) open.push(this.frames.enter(frame, place, rule, i));
      }
      if ((kind === null || at.ahead.has(kind)) && visit(frame)) return;
    }
  }

  /** Goes on in the innermost node around for which that holds; what it lacks before token `i` is missing. */
  private around(i: number, holds: (around: Frame, at: Place) => boolean): readonly Frame[] {
    const [innermost] = this.ways;
    let around: Frame | null = innermost!;
    let at: Place | null = innermost!.at;
    let left = 0;
    while (around && at && !holds(around, at)) {
      if (++left > MOST_STEPS) return [];
      at = around.entry;
      around = around.parent;
    }
    const place = at?.later.find(each => begins(each, this.kinds[i]!));
    if (!place) return [];
    let frame = innermost!;
    for (; left > 0 && frame.parent; left--) frame = this.frames.leave(frame, frame.parent, i);
    return place.rule
      ? this.onto([this.frames.enter(frame, place, place.rule, i)], i)
      : [this.frames.behind(frame, place, this.tokens[i]!, i)];
  }

  private isFirstOnLine(i: number): boolean {
    return i === 0 || this.tokens[i]!.startLine! > this.tokens[i - 1]!.endLine!;
  }

  /** A name with `=` behind it on a line of its own begins a field, whatever the line before lacks. */
  private beginsField(i: number): boolean {
    if (this.kinds[i] !== 'NAME' || this.kinds[i + 1] !== '=' || i === 0 || !this.isFirstOnLine(i)) return false;
    for (let at: Frame | null = this.ways[0]!; at; at = at.parent) {
      if (isList(at)) return true;
      if (isBracketed(at)) return false;
    }
    return false;
  }
}

const some = (ways: readonly Frame[]): readonly Frame[] | null => (ways.length > 0 ? ways : null);

const begins = ({ token, rule }: Place, kind: string): boolean => token === kind || rule?.firsts.has(kind) === true;

/** For each opening brace the place of the one that closes it; 0 where none does. */
function closersOf(kinds: readonly string[]): Int32Array {
  const closers = new Int32Array(kinds.length);
  const open: number[] = [];
  kinds.forEach((kind, i) => {
    if (kind === '{') open.push(i);
    else if (kind === '}') {
      const opener = open.pop();
      if (opener !== undefined) closers[opener] = i;
    }
  });
  return closers;
}
