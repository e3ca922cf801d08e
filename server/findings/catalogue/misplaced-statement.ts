import { BLOCKS } from '../../model/blocks.js';
import type { Declaration } from '../../model/declaration.js';
import type { Place } from '../../engine/value.js';
import { at, rule, type Found } from '../rule.js';

export default rule({
  code: 'misplaced-statement', severity: 'error', title: 'A statement stands where it cannot',
  message: '{statement} can\'t stand in a {kind}. It belongs in: {where}.',
  *onDeclaration(entity): Iterable<Found> {
    yield* misplaced(entity.declaration);
  },
  *onProject(view): Iterable<Found> {
    for (const root of view.namespace.rootDeclarations) yield* misplaced(root);
  },
});

function* misplaced(declaration: Declaration): Iterable<Found> {
  const block = BLOCKS.get(declaration.kind);
  if (!block) return;
  for (const [statement, place] of statementsOf(declaration)) {
    if (block.statements.includes(statement)) continue;
    const homes = [...BLOCKS.values()].filter(candidate => candidate.statements.includes(statement) && candidate.kind !== 'file').map(candidate => candidate.kind);
    yield { code: 'misplaced-statement', place, data: { statement, kind: declaration.kind, where: homes.join(', ') || 'file' } };
  }
}

function* statementsOf(declaration: Declaration): Iterable<readonly [string, Place]> {
  for (const item of declaration.values) if (item.kind !== 'field' && item.kind !== 'override') yield [item.kind, at(item, item.id)];
  for (const item of declaration.checks) yield ['check', at(item, item.id)];
  for (const item of declaration.conditions) yield [item.kind, at(item, item.id)];
  for (const method of declaration.methods.slice(0, 1)) yield ['verify', at(declaration, method.id)];
  for (const parent of declaration.parents.slice(0, 1)) yield ['parent', at(declaration, parent.id)];
  for (const parameter of declaration.given.slice(0, 1)) yield ['given', at(declaration, parameter.id)];
  for (const mode of declaration.needs.slice(0, 1)) yield ['needs', at(declaration, mode.id)];
  for (const exempt of declaration.exempt.slice(0, 1)) yield ['exempt', at(declaration, exempt.id)];
  for (const variable of declaration.free.slice(0, 1)) yield ['free', at(declaration, variable.id)];
  for (const setting of declaration.severities.slice(0, 1)) yield ['severity', at(declaration, setting.id)];
  for (const use of declaration.uses.slice(0, 1)) yield ['use', at(declaration, use.id)];
  if (declaration.rationale) yield ['rationale', at(declaration.rationale, 0)];
  if (declaration.study) yield ['study', at(declaration)];
}
