import { libraryOf, usesOf } from '../../libraries.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'library-name',
  severity: 'error',
  title: 'The name of a library stands for something else too',
  message: '{name} is the name of {path} here, and of {other} as well. Give the library another name.',
  onProject(report, view): void {
    const { namespace } = view;
    for (const { declaration, use, outcome } of usesOf(view)) {
      const library = libraryOf(view, outcome);
      if (!library || use.name === null) continue;
      const { name } = use;
      const top = namespace.topOf(declaration.placement.file);
      const other = namespace.librariesNamed(name, top).find(({ key }) => key !== library.key);
      const own = [...namespace.namedFrom(name, top)].find(entity => namespace.topAbove(entity) === top);
      const value = top.values.get(name);
      const place = own ? at(own.declaration) : value ? at(value, value.id) : null;
      if (!other && !place) continue;
      report({
        code: 'library-name',
        place: at(declaration, use.nameId),
        data: {
          name,
          path: use.path,
          other: own ? `a ${own.kind}` : value ? 'a value' : view.libraries.find(({ key }) => key === other!.key)!.path,
        },
        ...(place ? { related: [{ place, message: 'Declared here.' }] } : {}),
      });
    }
  },
});
