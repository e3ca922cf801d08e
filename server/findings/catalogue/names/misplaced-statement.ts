import { BLOCKS } from '../../../language/index.js';
import type { Declaration } from '../../../model/declaration.js';
import type { Place } from '../../../engine/value.js';
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
  const block = BLOCKS.get(declaration.kind);
  if (!block) return;
  const allowed = (statement: string): boolean => block.statements.includes(statement);
  for (const [statement, place] of strangers(declaration, allowed)) {
    const homes = [...BLOCKS.values()]
      .filter(candidate => candidate.statements.includes(statement) && candidate.kind !== 'file')
      .map(candidate => candidate.kind);
    report({
      code: 'misplaced-statement',
      place,
      data: { statement, kind: declaration.kind, where: homes.join(', ') || 'file' },
    });
  }
}

/** Statements that are not allowed, with their places; of those that are read as one list, the first. */
function strangers(declaration: Declaration, allowed: (statement: string) => boolean): (readonly [string, Place])[] {
  const found: (readonly [string, Place])[] = [];
  const {
    values,
    checks,
    conditions,
    methods,
    parents,
    supersedes,
    given,
    needs,
    exempt,
    free,
    severities,
    uses,
    rationale,
    study,
    source,
    imprint,
    checkedBy,
    inputs,
  } = declaration;
  for (const item of values)
    if (item.kind !== 'field' && item.kind !== 'override' && !allowed(item.kind))
      found.push([item.kind, at(item, item.id)]);
  if (!allowed('check')) for (const item of checks) found.push(['check', at(item, item.id)]);
  for (const item of conditions) if (!allowed(item.kind)) found.push([item.kind, at(item, item.id)]);
  const first = (statement: string, list: readonly { readonly id: number }[]): void => {
    if (list.length > 0 && !allowed(statement)) found.push([statement, at(declaration, list[0]!.id)]);
  };
  first('verify', methods);
  first('parent', parents);
  first('given', given);
  first('needs', needs);
  first('exempt', exempt);
  first('free', free);
  first('severity', severities);
  first('use', uses);
  if (rationale && !allowed('rationale')) found.push(['rationale', at(rationale, 0)]);
  if (study && !allowed('study')) found.push(['study', at(declaration)]);
  if (source && !allowed('source') && !BLOCKS.get(declaration.kind)?.fields['source'])
    found.push(['source', at(declaration)]);
  if (imprint !== null && !allowed('imprint')) found.push(['imprint', at(declaration)]);
  if (checkedBy.length > 0 && !allowed('checked')) found.push(['checked', at(declaration)]);
  // What the values of a table are said to come from is read as its inputs.
  if (declaration.kind !== 'table') first('from', inputs);
  first('supersedes', supersedes);
  return found;
}
