import { BLOCKS } from '../../../language/index.js';
import type { Declaration } from '../../../model/declaration.js';
import type { Place } from '../../../engine/values/value.js';
import { at, rule, type Report } from '../../rule.js';

export default rule({
  code: 'misplaced-statement',
  severity: 'error',
  title: 'A statement stands where it cannot',
  message: "{statement} can't stand in a {kind}. It belongs in: {where}.",
  onDeclaration(report, entity): void {
    misplaced(report, entity.declaration);
  },
  onProject(report, view): void {
    for (const root of view.namespace.rootDeclarations) misplaced(report, root);
  },
});

function misplaced(report: Report, declaration: Declaration): void {
  const block = BLOCKS.get(declaration.keyword);
  if (!block) return;
  const allowed = (statement: string): boolean => block.statements.includes(statement);
  for (const [statement, place] of strangers(declaration, allowed)) {
    const homes = [...BLOCKS.values()]
      .filter(candidate => candidate.statements.includes(statement) && candidate.kind !== 'file')
      .map(candidate => candidate.kind);
    report({
      code: 'misplaced-statement',
      place,
      data: { statement, kind: declaration.keyword, where: homes.join(', ') || 'file' },
    });
  }
}

/** Statements that are not allowed, with their places; of those that are read as one list, the first. */
function strangers(declaration: Declaration, allowed: (statement: string) => boolean): (readonly [string, Place])[] {
  const found: (readonly [string, Place])[] = [];
  const { values, checks, conditions, stray } = declaration;
  for (const item of values)
    if (item.kind !== 'field' && item.kind !== 'override' && !allowed(item.kind))
      found.push([item.kind, at(item, item.id)]);
  if (!allowed('check')) for (const item of checks) found.push(['check', at(item, item.id)]);
  for (const item of conditions) if (!allowed(item.kind)) found.push([item.kind, at(item, item.id)]);
  if (!stray) return found;
  const first = (statement: string, list: readonly { readonly id: number }[] | undefined): void => {
    if (list?.[0]) found.push([statement, at(declaration, list[0].id)]);
  };
  first('verify', stray.methods);
  first('parent', stray.parents);
  first('given', stray.given);
  first('needs', stray.needs);
  first('exempt', stray.exempt);
  first('free', stray.free);
  first('severity', stray.severities);
  first('use', stray.uses);
  if (stray.rationale) found.push(['rationale', at(stray.rationale, 0)]);
  if (stray.study) found.push(['study', at(declaration)]);
  if (stray.source) found.push(['source', at(declaration)]);
  if (typeof stray.imprint === 'string') found.push(['imprint', at(declaration)]);
  if (stray.checkedBy) found.push(['checked', at(declaration)]);
  first('from', stray.inputs);
  first('supersedes', stray.supersedes);
  return found;
}
