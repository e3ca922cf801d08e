import { at, rule } from '../../rule.js';

export default rule({
  code: 'unit-differs',
  severity: 'error',
  title: 'Two libraries declare a unit differently',
  message: '{name} is another unit in {other}, so neither counts. Give one of them another name.',
  onProject(report, view): void {
    const { namespace } = view;
    const units = view.configurations[0]!.evaluation.units;
    for (const [n, top] of namespace.tops.entries())
      for (const item of top.values.values()) {
        const others = namespace.tops.slice(0, n).filter(other => other.values.get(item.name)?.kind === 'unit');
        if (item.kind !== 'unit' || units.has(item.name) || others.length === 0) continue;
        const before = others[0]!.values.get(item.name)!;
        report({
          code: 'unit-differs',
          place: at(item, item.id),
          data: { name: item.name, other: others[0]!.path || 'the project' },
          related: [{ place: at(before, before.id), message: 'Declared here as well.' }],
        });
      }
  },
});
