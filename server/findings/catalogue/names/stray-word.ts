import { here } from '../../fixes.js';
import type { Declaration } from '../../../model/declaration.js';
import { at, rule, type Report } from '../../rule.js';

export default rule({
  code: 'stray-word',
  severity: 'error',
  title: 'A word stands alone',
  message: '{word} stands alone and says nothing. Write {word} = …, or remove it.',
  onDeclaration(report, entity): void {
    strayWords(report, entity.declaration);
  },
  onProject(report, view): void {
    for (const root of view.namespace.rootDeclarations) strayWords(report, root);
  },
  fix: ({ data }) => here(`Remove ${data['word']}`, ''),
});

function strayWords(report: Report, declaration: Declaration): void {
  for (const column of declaration.stray?.columns ?? [])
    report({ code: 'stray-word', place: at(declaration, column.id), data: { word: column.name } });
}
