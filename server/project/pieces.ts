/**
 * Files as pieces: an unchanged piece is kept as it is, and a changed one keeps every item whose content stayed the
 * same.
 */
import type { Declaration, Item, LoweredPiece, Placement } from '../model/declaration.js';
import { lowerPiece } from '../model/lower.js';
import { keyOf } from '../model/namespace.js';
import { EMPTY_PIECE, parsePiece, type SyntaxProblem } from '../syntax/parser.js';
import { split } from '../syntax/splitter.js';

export interface SourcePiece {
  readonly text: string;
  readonly placement: Placement;
  readonly lowered: LoweredPiece;
  readonly problems: readonly SyntaxProblem[];
}

/** Told of what went wrong in us. */
export type OnDefect = (what: string, error: unknown) => void;

/** Reads `text` anew, with what can be kept of `before`. */
export function readPieces(
  file: string,
  text: string,
  before: readonly SourcePiece[],
  onDefect: OnDefect = () => undefined,
): SourcePiece[] {
  const known = new Map<string, SourcePiece[]>();
  for (const piece of before) {
    const list = known.get(piece.text);
    if (list) list.push(piece);
    else known.set(piece.text, [piece]);
  }
  const kept = new Set<SourcePiece>();
  const next = split(text).map(({ start, text: source }) => {
    const same = known.get(source)?.shift();
    if (!same) return { start, source };
    same.placement.start = start;
    kept.add(same);
    return same;
  });
  const lost = before.filter(piece => !kept.has(piece));
  return next.map(piece => ('source' in piece ? guardedPiece(file, piece.start, piece.source, lost, onDefect) : piece));
}

/** A statement that we fail on is left out, and says so. */
function guardedPiece(file: string, start: number, text: string, lost: SourcePiece[], onDefect: OnDefect): SourcePiece {
  try {
    return freshPiece(file, start, text, lost);
  } catch (error) {
    onDefect(`a statement of ${file}`, error);
    const placement: Placement = { file, start };
    const problem = { code: 'defect' as const, start: 0, end: text.length, data: { what: 'this statement' } };
    return {
      text,
      placement,
      lowered: { ...lowerPiece(EMPTY_PIECE, text, placement), problems: [problem] },
      problems: [],
    };
  }
}

function freshPiece(file: string, start: number, source: string, lost: SourcePiece[]): SourcePiece {
  // A part of a text keeps the whole alive, and each piece would keep the one of its last edit.
  const text = lost.length > 0 ? copied(source) : source;
  const placement: Placement = { file, start };
  const parsed = parsePiece(text);
  const lowered = lowerPiece(parsed, text, placement);
  const old = predecessor(lowered.root, lost);
  if (old) reuseItems(old, lowered.root, placement);
  return { text, placement, lowered, problems: parsed.problems };
}

/** The same characters in memory of their own. */
function copied(text: string): string {
  return JSON.parse(JSON.stringify(text)) as string;
}

/** The lost piece that declares the same thing; taken, as what stands twice is two things. */
function predecessor(root: Declaration, lost: SourcePiece[]): Declaration | undefined {
  const name = pieceName(root);
  const at = lost.findIndex(piece => pieceName(piece.lowered.root) === name);
  return at < 0 ? undefined : lost.splice(at, 1)[0]!.lowered.root;
}

function pieceName(root: Declaration): string {
  const child = root.children[0];
  return child ? `${child.keyword} ${keyOf(child)}` : root.values[0] ? `= ${root.values[0].name}` : '';
}

/** Puts the old item in the place of each new one with the same content, with the new spans. */
function reuseItems(old: Declaration, next: Declaration, placement: Placement): void {
  const reuse = <T extends Item>(was: T | null | undefined, is: T): T => {
    if (!was || was.kind !== is.kind || was.hash !== is.hash) return is;
    was.spans = is.spans;
    was.placement = placement;
    return was;
  };
  const mutable = next as { -readonly [K in keyof Declaration]: Declaration[K] };
  const values = new Map(old.values.toReversed().map(item => [item.name, item]));
  mutable.values = next.values.map(item => {
    const was = values.get(item.name);
    // A name that stands twice is two items.
    values.delete(item.name);
    return reuse(was, item);
  });
  mutable.checks = next.checks.map((item, i) => reuse(old.checks[i], item));
  mutable.conditions = next.conditions.map((item, i) => reuse(old.conditions[i], item));
  mutable.restrictions = next.restrictions.map((item, i) => reuse(old.restrictions[i], item));
  if (next.title) mutable.title = reuse(old.title, next.title);
  if (next.value) mutable.value = reuse(old.value, next.value);
  const children = new Map(old.children.toReversed().map(child => [`${child.keyword} ${keyOf(child)}`, child]));
  for (const child of next.children) {
    const key = `${child.keyword} ${keyOf(child)}`;
    const was = children.get(key);
    children.delete(key);
    if (was) reuseItems(was, child, placement);
  }
}
