import type { ValueItem } from '../../../model/declaration.js';
import { at, rule } from '../../rule.js';
import { declarationsOf } from '../../text-search.js';
import { saidIn } from '../../../model/statements.js';

export default rule({
  code: 'unused-name',
  severity: 'hint',
  title: 'A name is never used',
  message: '{name} is calculated and nothing reads it.',
  onProject(report, view): void {
    const used = new Set<string>();
    const declarations = [...declarationsOf(view.namespace)];
    for (const { mentions } of view.namespace.rootDeclarations) for (const name of mentions.names) used.add(name);
    for (const declaration of declarations) {
      for (const references of [saidIn(declaration, 'free'), saidIn(declaration, 'inputs')])
        for (const reference of references) for (const segment of reference.path) used.add(segment);
      for (const item of declaration.values)
        if (item.kind === 'override') for (const segment of item.path) used.add(segment);
    }
    for (const declaration of declarations) {
      // A library is there for others too.
      if (view.namespace.topOf(declaration.placement.file) !== view.namespace.root) continue;
      for (const item of declaration.values)
        if ((item.kind === 'let' || item.kind === 'formula') && !used.has(item.name))
          report({ code: 'unused-name', place: at(item, item.id), data: { name: item.name } });
    }
  },
  fix: ({ data, place }) => ({
    title: `Remove ${data['name']}`,
    edits: [{ place: { remove: place.owner as ValueItem }, text: '' }],
  }),
});
