import { rule } from '../rule.js';

export default rule({
  code: 'outside-table', severity: 'error', title: 'A table is asked outside its range',
  message: '{table} is asked at {asked}; it reaches from {low} to {high}. Nothing is extrapolated: extend the table, or keep the input inside.',
});
