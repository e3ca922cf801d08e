import { troubleOnWindows } from '../../../base/index.js';
import { citedFile } from '../../../engine/values/words.js';
import type { Place } from '../../../engine/values/value.js';
import { at, rule, type Report } from '../../rule.js';

export default rule({
  code: 'file-name',
  severity: 'warning',
  title: 'A file has a name that Windows does not take',
  message: "{path} can't be used on Windows, where {trouble}. Give it another name.",
  onDeclaration(report, { declaration }): void {
    for (const item of [...declaration.values, ...(declaration.value ? [declaration.value] : [])]) {
      const path = citedFile(item.value);
      if (path !== null) look(report, path, at(item, item.value.id));
    }
  },
  onProject(report, view): void {
    const told = new Set<string>();
    for (const root of view.namespace.rootDeclarations) {
      const { file } = root.placement;
      const [first] = root.children;
      const [value] = root.values;
      if (told.has(file) || !(first ?? value)) continue;
      told.add(file);
      look(report, file, first ? at(first) : at(value!, value!.id));
    }
  },
});

function look(report: Report, path: string, place: Place): void {
  const trouble = troubleOnWindows(path);
  if (trouble !== null) report({ code: 'file-name', place, data: { path, trouble } });
}
