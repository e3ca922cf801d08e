import { rule } from '../../rule.js';

export default rule({
  code: 'power-undefined',
  severity: 'error',
  title: 'A power has no value',
  message: '{where} raises a negative number to a fractional power.',
});
