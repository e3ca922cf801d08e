import { rule } from '../rule.js';

export default rule({
  code: 'points-added', severity: 'error', title: 'Two temperatures are added',
  message: 'Two points of temperature are added. Add a difference (5 K), or take mean(T1, T2).',
});
