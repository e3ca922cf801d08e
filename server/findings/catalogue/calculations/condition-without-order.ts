import { here } from '../../fixes.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'condition-without-order',
  severity: 'error',
  title: 'A condition has no order',
  message: "reserve can't solve for == or !=: use <= or >=.",
  fix: (_found, text) => here('Write <=', text.replace(/==|!=/, '<=')),
});
