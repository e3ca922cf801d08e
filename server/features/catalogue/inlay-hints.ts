import type { InlayHint, Range } from 'vscode-languageserver-types';
import type { Evaluation } from '../../engine/evaluation.js';
import { printMargin, printSides } from '../../engine/explain.js';
import { caseName, type CheckResult } from '../../engine/margin.js';
import { worstStatus } from '../../engine/verification.js';
import { spanOf } from '../../model/declaration.js';
import { DIMENSIONLESS } from '../../units/index.js';
import { feature } from '../feature.js';

/** The margin behind each check, with the case that governs: the worst of the configurations. */
export default feature('textDocument/inlayHint', { inlayHintProvider: true }, (context, params: { readonly range: Range }) => {
  const { project } = context;
  const from = context.lines.offset(params.range.start);
  const to = context.lines.offset(params.range.end);
  const hints: InlayHint[] = [];
  for (const entity of project.view.verification.index.requirements) {
    if (entity.declaration.placement.file !== context.file || entity.template) continue;
    entity.checks.forEach((check, i) => {
      const end = spanOf(check, check.condition.id).end;
      if (end < from || end > to) return;
      const results = project.results(entity);
      const worst = results.find(({ result }) => result.status === worstStatus(results.map(entry => entry.result.status)))!;
      const result = worst.result.checks[i];
      if (!result?.governing) return;
      hints.push({ position: context.lines.position(end), label: hintText(worst.view.evaluation, result), paddingLeft: true, tooltip: result.passes === true ? 'Passes' : result.passes === false ? 'Fails' : 'Undetermined' });
    });
  }
  return hints;
});

function hintText(evaluation: Evaluation, result: CheckResult): string {
  const governing = result.governing!;
  const { unit } = printSides(governing);
  const name = caseName(evaluation, governing.row);
  return `${printMargin(governing, unit, governing.leaf?.left.dimension ?? DIMENSIONLESS)}${name ? ` · ${name}` : ''}`;
}
