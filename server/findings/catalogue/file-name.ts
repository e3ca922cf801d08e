import { troubleOnWindows } from '../../base/index.js';
import { citedFile } from '../../engine/words.js';
import { at, rule } from '../rule.js';

export default rule({
  code: 'file-name',
  severity: 'warning',
  title: 'A cited file has a name that Windows does not take',
  message: "{path} can't be used on Windows, where {trouble}. Give the file another name.",
  onDeclaration(report, { declaration }): void {
    for (const item of [...declaration.values, ...(declaration.value ? [declaration.value] : [])]) {
      const path = citedFile(item.value);
      const trouble = path === null ? null : troubleOnWindows(path);
      if (path !== null && trouble !== null)
        report({ code: 'file-name', place: at(item, item.value.id), data: { path, trouble } });
    }
  },
});
