import { spell } from '../../../engine/broken-conditions.js';
import type { Declaration } from '../../../model/declaration.js';
import type { Expression } from '../../../model/expression.js';
import { here } from '../../fixes.js';
import { walkDeclaration } from '../../text-search.js';
import { at, rule, type Report } from '../../rule.js';

const FUNCTIONS: ReadonlySet<string> = new Set(['sin', 'cos', 'tan']);
const FULL_TURN = 2 * Math.PI;

/** A plain number is an angle in radians: beyond a full turn it was meant in degrees. */
export default rule({
  code: 'angle-without-unit',
  severity: 'hint',
  title: 'An angle beyond a full turn has no unit',
  message: '{call} takes {number} rad, more than a full turn: write {number} deg if degrees are meant.',
  onDeclaration(report, entity): void {
    lookAt(report, entity.declaration);
  },
  onProject(report, view): void {
    for (const root of view.namespace.rootDeclarations) lookAt(report, root);
  },
  fix: ({ data }, text) => here(`Write ${data['number']} deg`, `${text} deg`),
});

function lookAt(report: Report, declaration: Declaration): void {
  walkDeclaration(declaration, (node, item) => {
    const argument = angleOf(node);
    if (argument?.kind === 'number' && argument.unitText === null && Number(argument.text) > FULL_TURN)
      report({
        code: 'angle-without-unit',
        place: at(item, argument.id),
        data: { call: spell(node), number: argument.text },
      });
  });
}

/** The one argument of `sin(x)`, whatever its sign. */
function angleOf(node: Expression): Expression | null {
  if (node.kind !== 'call' || node.callee.kind !== 'name' || !FUNCTIONS.has(node.callee.name)) return null;
  const argument = node.arguments[0]?.value;
  return (argument?.kind === 'unary' ? argument.operand : argument) ?? null;
}
