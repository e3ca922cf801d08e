/**
 * Squiggles that wait: while someone types, no new finding appears under the words that are being written; one that is
 * mended goes at once.
 */

/** What of a finding tells whether it was there before. */
export interface Finding {
  readonly code?: unknown;
  readonly message: string;
  readonly range: { readonly start: { readonly line: number } };
}

/** An edit of a document as the editor tells it. */
export interface Edit {
  readonly text: string;
  readonly rangeLength: number;
}

/**
 * The findings of `found` that were `shown` before: with the same words, or with others on the same line, where a value
 * in them moves with what is typed.
 */
export function settledFindings<T extends Finding>(shown: readonly Finding[], found: readonly T[]): readonly T[] {
  const words = new Set(shown.map(finding => `${codeOf(finding)} ${finding.message}`));
  const lines = new Set(shown.map(finding => `${codeOf(finding)} ${finding.range.start.line}`));
  return found.filter(
    finding =>
      words.has(`${codeOf(finding)} ${finding.message}`) || lines.has(`${codeOf(finding)} ${finding.range.start.line}`),
  );
}

/**
 * Whether an edit is a keystroke: one character written or erased, a new line with its indentation, a pair of brackets
 * that closes itself.
 */
export function isTyping(edits: readonly Edit[]): boolean {
  const [edit, ...others] = edits;
  if (!edit || others.length > 0 || edit.rangeLength > 1) return false;
  return [...edit.text].length <= 1 || /^(\r?\n[ \t]*|\(\)|\[\]|\{\}|"")$/.test(edit.text);
}

function codeOf({ code }: Finding): string {
  return String(typeof code === 'object' && code !== null && 'value' in code ? code.value : code);
}
