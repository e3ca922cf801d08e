import { rule } from '../../rule.js';

export default rule({
  code: 'formula-outside-validity',
  severity: 'error',
  title: 'A formula is used outside its validity',
  message:
    '{name} is called outside what it requires, so this call has no value. Choose another formula, or bring the input inside.',
  onCell(report, cell, configuration): void {
    for (const { node, place, formula, condition } of cell.guarded) {
      if (configuration.evaluation.number(node) === 0)
        report({
          code: 'formula-outside-validity',
          place,
          data: { name: formula },
          related: [{ place: condition, message: `${formula} requires this.` }],
        });
    }
  },
});
