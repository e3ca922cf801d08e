import type { CodeAction, Range, TextEdit } from 'vscode-languageserver-types';
import { RULES, type Fix } from '../../findings/index.js';
import { spanOf } from '../../model/declaration.js';
import { LIBRARY, type Finding } from '../../project/project.js';
import { feature, rangeOf, type FeatureContext } from '../feature.js';
import { convertUnit } from '../refactorings/convert-unit.js';
import { extractFormula } from '../refactorings/extract-formula.js';
import { extractLet } from '../refactorings/extract-let.js';
import { inlineLet } from '../refactorings/inline-let.js';
import { moveOut, moveToFile } from '../refactorings/move.js';
import type { Refactoring } from '../refactorings/refactoring.js';

interface CodeActionParams { readonly range: Range; readonly context: { readonly only?: readonly string[] } }

const REFACTORINGS: readonly Refactoring[] = [convertUnit, extractLet, extractFormula, inlineLet, moveOut, moveToFile];

/** Quick fixes of the findings that the range touches, and refactorings of what it selects. */
export default feature('textDocument/codeAction', { codeActionProvider: { codeActionKinds: ['quickfix', 'refactor.extract', 'refactor.inline', 'refactor.move', 'refactor.rewrite'] } }, (context, params: CodeActionParams) => {
  const start = context.lines.offset(params.range.start);
  const end = context.lines.offset(params.range.end);
  const asked = (kind: string): boolean => !params.context.only || params.context.only.some(only => only === '' || kind === only || kind.startsWith(`${only}.`));
  const fixes = asked('quickfix') ? context.project.findings(context.file).filter(finding => finding.start <= end && finding.end >= start).flatMap(finding => actionOf(context, finding)) : [];
  const refactors = !params.context.only || params.context.only.some(only => only === '' || only.startsWith('refactor'));
  return [...fixes, ...(refactors && !context.file.startsWith(LIBRARY) ? REFACTORINGS.flatMap(refactoring => refactoring(context, start, end)).filter(({ kind }) => asked(kind!)) : [])];
});

function actionOf(context: FeatureContext, finding: Finding): CodeAction[] {
  const fix = RULES.get(finding.code)?.fix?.(finding.found, context.text.slice(finding.start, finding.end));
  if (!fix) return [];
  const changes: Record<string, TextEdit[]> = {};
  for (const edit of fix.edits) {
    const { file, start, end, text } = resolve(context, finding, edit);
    (changes[context.uri(file)] ??= []).push({ range: rangeOf(context.linesOf(file), start, end), newText: text });
  }
  const diagnostic = { range: rangeOf(context.lines, finding.start, finding.end), code: finding.code, source: 'gusset', message: finding.message };
  return [{ title: fix.title, kind: 'quickfix', diagnostics: [diagnostic], isPreferred: true, edit: { changes } }];
}

interface ResolvedEdit { readonly file: string; readonly start: number; readonly end: number; readonly text: string }

function resolve(context: FeatureContext, finding: Finding, { place, text }: Fix['edits'][number]): ResolvedEdit {
  if (place === 'here') return { file: finding.file, start: finding.start, end: finding.end, text };
  const target = 'after' in place ? place.after : 'inside' in place ? place.inside : place;
  const { file } = target.owner.placement;
  const { start, end } = spanOf(target.owner, target.id);
  if ('after' in place) return { file, start: end, end, text };
  return 'inside' in place ? inBlock(file, context.project.text(file) ?? '', start, end, text) : { file, start, end, text };
}

/** A statement as the last one of a block, laid out as the block is. A block that has no braces yet gets them. */
function inBlock(file: string, source: string, start: number, end: number, text: string): ResolvedEdit {
  const block = source.slice(start, end);
  if (!block.endsWith('}')) return { file, start: end, end, text: ` { ${text} }` };
  const close = end - 1;
  const last = start + block.slice(0, -1).trimEnd().length;
  const lineStart = source.lastIndexOf('\n', close) + 1;
  const indent = source.slice(lineStart, close);
  if (indent.trim() === '') return { file, start: last, end: last, text: `\n${indent}  ${text}` };
  return { file, start: last, end: close, text: `${source[last - 1] === '{' ? ' ' : '   '}${text} ` };
}
