import { at, rule } from '../../rule.js';
import { citedFile } from '../../../engine/values/words.js';

export default rule({
  code: 'missing-file',
  severity: 'warning',
  title: 'A cited file is missing',
  message: '{name} cites {path}, and there is no such file in the project.',
  kinds: ['lot', 'evidence'],
  onDeclaration(report, entity, view): void {
    for (const item of entity.declaration.values) {
      const path = item.name === 'certificate' || item.name === 'report' ? citedFile(item.value) : null;
      if (path !== null && view.fileExists(entity, path) === false)
        report({ code: 'missing-file', place: at(item, item.value.id), data: { name: entity.label, path } });
    }
  },
});
