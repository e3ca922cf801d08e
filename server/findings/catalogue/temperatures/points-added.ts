import { here, splitAt } from '../../fixes.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'points-added',
  severity: 'error',
  title: 'Two temperatures are added',
  message: 'Two points of temperature are added. Add a difference (5 K), or take mean(T1, T2).',
  fix: (_found, text) => {
    const sum = splitAt(text, ['+']);
    return sum && here('Take their mean', `mean(${sum.left}, ${sum.right})`);
  },
});
