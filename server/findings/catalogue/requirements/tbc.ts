import { dueBy } from '../../../engine/values/words.js';
import type { Declaration } from '../../../model/declaration.js';
import { annotatedValues } from '../../text-search.js';
import { at, rule, type Report } from '../../rule.js';

export default rule({
  code: 'tbc',
  severity: 'information',
  title: 'A value is to be confirmed',
  message: ({ what, owner, due }) =>
    `${what} is to be confirmed${owner ? ` by ${owner}` : ''}${due ? `, due ${due}` : ''}. An analysis that reaches it stays open.`,
  onDeclaration(report, entity): void {
    confirm(report, entity.declaration, `${entity.path}.`);
  },
  onProject(report, view): void {
    for (const root of view.namespace.rootDeclarations) confirm(report, root, '');
  },
});

function confirm(report: Report, { values }: Declaration, path: string): void {
  for (const item of values)
    for (const { name, value, annotations } of annotatedValues(item))
      if (annotations.tbc)
        report({
          code: 'tbc',
          place: at(item, value.id),
          data: {
            what: path + name,
            owner: annotations.owner ?? '',
            due: dueBy(annotations),
          },
        });
}
