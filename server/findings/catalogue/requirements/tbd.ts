import { dueBy } from '../../../engine/values/words.js';
import type { Declaration } from '../../../model/declaration.js';
import { walkDeclaration } from '../../text-search.js';
import { at, rule, type Report } from '../../rule.js';

export default rule({
  code: 'tbd',
  severity: 'information',
  title: 'A value is to be determined',
  message: ({ what, owner, due }) =>
    `${what} is to be determined${owner ? ` by ${owner}` : ''}${due ? `, due ${due}` : ''}. What needs it is undetermined until then.`,
  onDeclaration(report, entity): void {
    determine(report, entity.declaration, `${entity.path}.`);
  },
  onProject(report, view): void {
    for (const root of view.namespace.rootDeclarations) determine(report, root, '');
  },
});

function determine(report: Report, declaration: Declaration, path: string): void {
  if (!declaration.mentions.undetermined) return;
  walkDeclaration(declaration, (node, item) => {
    if (node.kind !== 'tbd' || !('value' in item)) return;
    const { owner } = item.annotations;
    report({
      code: 'tbd',
      place: at(item, node.id),
      data: { what: path + item.name, owner: owner ?? '', due: dueBy(item.annotations) },
    });
  });
}
