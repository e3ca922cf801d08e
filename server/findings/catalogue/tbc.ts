import { annotatedValues } from '../text-search.js';
import { at, rule } from '../rule.js';

export default rule({
  code: 'tbc',
  severity: 'information',
  title: 'A value is to be confirmed',
  message: ({ what, owner, due }) =>
    `${what} is to be confirmed${owner ? ` by ${owner}` : ''}${due ? `, due ${due}` : ''}. An analysis that reaches it stays open.`,
  onDeclaration(report, entity): void {
    for (const item of entity.declaration.values) {
      for (const { name, value, annotations } of annotatedValues(item)) {
        if (annotations.tbc)
          report({
            code: 'tbc',
            place: at(item, value.id),
            data: {
              what: `${entity.path}.${name}`,
              owner: annotations.owner ?? '',
              due: annotations.due?.path.join('.') ?? '',
            },
          });
      }
    }
  },
});
