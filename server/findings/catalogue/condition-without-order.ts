import { rule } from '../rule.js';

export default rule({
  code: 'condition-without-order', severity: 'error', title: 'A condition has no order',
  message: "reserve can't solve for == or !=: use <= or >=.",
});
