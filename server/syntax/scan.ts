/** Character-level helpers that the lexer and the splitter share. */
import { firstIndex } from '../base/index.js';
import { BLOCK_WORDS } from '../language/index.js';

/** A field, the head of a block, or a closing brace. */
const STATEMENT_FORMS = [
  String.raw`[\p{L}_][\p{L}\p{N}_.]*(?:\([^)"]*\))?\s*=(?!=)`,
  String.raw`(?:${[...BLOCK_WORDS].join('|')})\s+[\p{L}_][\p{L}\p{N}_-]*[^"\n]*(?:"[^"\n]*"[^"\n]*)?\{\s*(?://.*)?$`,
  String.raw`\}\s*$`,
];
const NEXT_STATEMENT = new RegExp(String.raw`^[ \t]*(?:${STATEMENT_FORMS.join('|')})`, 'u');

/**
 * Where the text that opens at `start` (a `"`) ends, behind its closing quote; `closed` tells whether there is one. A
 * text may span lines; but where the lines it would swallow begin statements, the quote was forgotten and the text ends
 * with its line.
 */
export function endOfText(source: string, start: number): { end: number; closed: boolean } {
  let lineEnd = -1;
  for (let i = start + 1; i < source.length; i++) {
    const c = source.charCodeAt(i);
    if (c === 92 /* \ */) i++;
    else if (c === 34 /* " */) return { end: i + 1, closed: true };
    else if (c === 10) {
      if (lineEnd < 0) lineEnd = i;
      const next = source.indexOf('\n', i + 1);
      if (NEXT_STATEMENT.test(source.slice(i + 1, next < 0 ? source.length : next)))
        return { end: trimEnd(source, start, lineEnd), closed: false };
    }
  }
  return { end: trimEnd(source, start, lineEnd < 0 ? source.length : lineEnd), closed: false };
}

function trimEnd(source: string, start: number, end: number): number {
  while (end > start + 1 && source.charCodeAt(end - 1) <= 32) end--;
  return end;
}

/**
 * Where the comment at `start` ends (behind its last character), or -1 where none starts. An open block comment runs to
 * the end.
 */
export function endOfComment(source: string, start: number): number {
  if (source.charCodeAt(start) !== 47) return -1;
  const second = source.charCodeAt(start + 1);
  if (second === 47) {
    const end = source.indexOf('\n', start);
    if (end < 0) return source.length;
    return source.charCodeAt(end - 1) === 13 ? end - 1 : end;
  }
  if (second !== 42) return -1;
  const end = source.indexOf('*/', start + 2);
  return end < 0 ? source.length : end + 2;
}

/** Offsets of the first character of each line. */
export function lineStarts(text: string): Int32Array {
  const starts = [0];
  for (let i = text.indexOf('\n'); i >= 0; i = text.indexOf('\n', i + 1)) starts.push(i + 1);
  return Int32Array.from(starts);
}

/** Zero-based line of an offset, by bisection. */
export function lineAt(starts: Int32Array, offset: number): number {
  return firstIndex(starts.length, line => starts[line]! > offset) - 1;
}
