import { here } from '../../fixes.js';
import { nearest } from '../../../base/index.js';
import { at, rule } from '../../rule.js';
import { declared } from '../../../model/statements.js';

export default rule({
  code: 'unknown-code',
  severity: 'warning',
  title: 'A severity is set for a code that does not exist',
  message: 'There is no finding {name}. The codes stand behind each message and in the pages of findings.',
  onProject(report, view): void {
    for (const project of view.namespace.ofKind('project')) {
      for (const setting of declared(project, 'project').severities)
        if (!view.codes.has(setting.code))
          report({ code: 'unknown-code', place: at(project.declaration, setting.id), data: { name: setting.code } });
    }
  },
  fix: ({ data }, text, { view }) => {
    const similar = nearest(data['name']!, view.codes);
    return similar === null ? null : here(`Replace by ${similar}`, text.replace(data['name']!, similar));
  },
});
