import type * as vscode from 'vscode';
import type { RequirementOverview } from '../../server/protocol/overview.js';

/**
 * The requirement whose block holds a line. Blocks end with a brace that stands no deeper than their first line, as the
 * formatter sets it.
 */
export function requirementAt(
  document: vscode.TextDocument,
  line: number,
  requirements: readonly RequirementOverview[],
): RequirementOverview | undefined {
  const uri = document.uri.toString();
  let found: RequirementOverview | undefined;
  for (const requirement of requirements) {
    const { location } = requirement;
    if (
      location.uri === uri &&
      location.line <= line &&
      location.line < document.lineCount &&
      (!found || location.line > found.location.line)
    )
      found = requirement;
  }
  if (!found) return undefined;
  const { line: first } = found.location;
  const depth = document.lineAt(first).firstNonWhitespaceCharacterIndex;
  if (first < line && document.lineAt(first).text.trimEnd().endsWith('}')) return undefined;
  for (let each = first + 1; each < line; each++) {
    const { text, firstNonWhitespaceCharacterIndex } = document.lineAt(each);
    if (firstNonWhitespaceCharacterIndex <= depth && text[firstNonWhitespaceCharacterIndex] === '}') return undefined;
  }
  return found;
}
