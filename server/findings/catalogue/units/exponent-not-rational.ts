import { rule } from '../../rule.js';

export default rule({
  code: 'exponent-not-rational',
  severity: 'error',
  title: 'An exponent leaves no dimension',
  message:
    'A quantity with a dimension ({found}) can only be raised to a constant such as 2, 0.5 or 1/3. Divide by a reference quantity first.',
});
