import { rule } from '../rule.js';

export default rule({
  code: 'maturity-missing', severity: 'error', title: 'A mass says no maturity',
  message: 'The mass of {part} says no maturity, so {table} gives no growth for it. Add maturity estimated, calculated or measured.',
});
