import { at, rule } from '../../rule.js';

export default rule({
  code: 'field-outside-block',
  severity: 'error',
  title: 'A field stands outside of every block',
  message: '{name} stands at the top of a file, where values are declared with let: let {name} = …',
  onProject(report, view): void {
    for (const root of view.namespace.rootDeclarations) {
      for (const item of root.values)
        if (item.kind === 'field' || item.kind === 'override')
          report({ code: 'field-outside-block', place: at(item, item.id), data: { name: item.name } });
    }
  },
  fix: found => ({ title: 'Declare it with let', edits: [{ place: 'here', text: `let ${found.data['name']}` }] }),
});
