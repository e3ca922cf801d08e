import { here } from '../../fixes.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'field-dimension',
  severity: 'error',
  title: 'A field has the wrong dimension',
  message: ({ field, wanted, found, unit, kind }) =>
    `${field} must be ${wanted}${kind ? `, as ${kind} is given it` : ''}, and this is ${found}.${unit ? ' Standard gravity is g0: g is the gram.' : ''}`,
  fix: ({ data }, text) =>
    data['unit'] ? here('Write g0 instead of g', text.replace(/(?<=[\d. ])g(?![\w])/g, data['unit'])) : null,
});
