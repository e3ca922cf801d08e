import { libraryOverrides } from '../../libraries.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'library-override',
  severity: 'information',
  title: 'A value of a library is overridden',
  message: '{configuration_name} overrides {path} of {library}.',
  onProject(report, view): void {
    for (const { configuration, item, library, path, target } of libraryOverrides(view))
      report({
        code: 'library-override',
        place: at(item, item.id),
        data: { configuration_name: configuration.name, path, library: library.name },
        ...(target ? { related: [{ place: at(target, target.id), message: 'The value of the library.' }] } : {}),
      });
  },
});
