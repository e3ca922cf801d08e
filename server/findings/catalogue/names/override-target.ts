import { at, rule } from '../../rule.js';
import { saidIn } from '../../../model/statements.js';

export default rule({
  code: 'override-target',
  severity: 'error',
  title: 'An override meets nothing',
  message: '{configuration_name} overrides {path}, but {missing}.',
  onProject(report, view): void {
    for (const configuration of view.namespace.ofKind('configuration')) {
      for (const item of configuration.declaration.values) {
        const path = item.path.slice(0, -1);
        const name = item.path[item.path.length - 1]!;
        const target = path.length > 0 ? view.namespace.resolvePath(path, view.namespace.root) : view.namespace.root;
        const missing = !target
          ? `there is no block ${path.join('.')}`
          : !target.values.has(name) && !saidIn(target.declaration, 'given').some(parameter => parameter.name === name)
            ? `${path.join('.') || 'the project'} has no ${name}`
            : null;
        if (missing)
          report({
            code: 'override-target',
            place: at(item, item.id),
            data: { configuration_name: configuration.name, path: item.path.join('.'), missing },
          });
      }
    }
  },
});
