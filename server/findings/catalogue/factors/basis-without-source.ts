import { annotatedValues, isTypedIn } from '../../text-search.js';
import { at, rule } from '../../rule.js';
import { saidIn } from '../../../model/statements.js';

export default rule({
  code: 'basis-without-source',
  severity: 'warning',
  title: 'A basis without data or source',
  message:
    '{what} is stated as {basis} basis, and nothing says where that comes from. Add source "…", or calculate it from coupon data.',
  onDeclaration(report, entity): void {
    const { declaration } = entity;
    if (saidIn(declaration, 'source') || declaration.values.some(item => item.name === 'source')) return;
    for (const item of declaration.values) {
      for (const { name, value, annotations } of annotatedValues(item)) {
        const { basis } = annotations;
        if (basis && basis !== 'typical' && !annotations.source && isTypedIn(value))
          report({
            code: 'basis-without-source',
            place: at(item, value.id),
            data: { what: `${entity.path}.${name}`, basis },
          });
      }
    }
  },
  fix: ({ place }) => ({ title: 'State its source', edits: [{ place: { after: place }, text: ' source "…"' }] }),
});
