import { rule } from '../rule.js';

export default rule({
  code: 'unknown-argument', severity: 'error', title: 'There is no such argument',
  message: ({ name, known }) => `There is no argument ${name} here; known are: ${known}.`,
});
