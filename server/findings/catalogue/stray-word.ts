import { here } from '../fixes.js';
import type { Declaration } from '../../model/declaration.js';
import { at, rule, type Found } from '../rule.js';

const WITH_COLUMNS = new Set(['table', 'results']);

export default rule({
  code: 'stray-word', severity: 'error', title: 'A word stands alone',
  message: '{word} stands alone and says nothing. Write {word} = …, or remove it.',
  *onDeclaration(entity): Iterable<Found> {
    yield* strayWords(entity.declaration);
  },
  *onProject(view): Iterable<Found> {
    for (const root of view.namespace.rootDeclarations) yield* strayWords(root);
  },
  fix: ({ data }) => here(`Remove ${data['word']}`, ''),
});

function* strayWords(declaration: Declaration): Iterable<Found> {
  if (WITH_COLUMNS.has(declaration.kind)) return;
  for (const column of declaration.columns) yield { code: 'stray-word', place: at(declaration, column.id), data: { word: column.name } };
}
