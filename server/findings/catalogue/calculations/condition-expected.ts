import { spell } from '../../../engine/broken-conditions.js';
import type { Expression } from '../../../model/expression.js';
import { here } from '../../fixes.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'condition-expected',
  severity: 'error',
  title: 'A condition is due',
  message: ({ found, mend }) => `A condition such as a <= b is due here, not ${found}.${mend ? ` Write ${mend}.` : ''}`,
  kinds: ['waiver'],
  onDeclaration(report, entity): void {
    for (const item of entity.declaration.conditions)
      if (item.kind === 'accepts' && isQuantity(item.condition))
        report({
          code: 'condition-expected',
          place: at(item, item.condition.id),
          data: { found: 'a quantity', mend: `accepts margin >= ${spell(item.condition)}` },
        });
  },
  fix: ({ data }, text) => (data['mend'] ? here(`Write ${data['mend']}`, `margin >= ${text}`) : null),
});

/** Whether an expression is a number by its look: `accepts -0.5`. */
export function isQuantity(expression: Expression): boolean {
  if (expression.kind === 'unary') return expression.operator !== 'not' && isQuantity(expression.operand);
  return expression.kind === 'number' || (expression.kind === 'binary' && '+-*/^'.includes(expression.operator));
}
