import { rule } from '../../rule.js';

export default rule({
  code: 'frames-in-a-circle',
  severity: 'error',
  title: 'Frames stand in each other',
  message: '{name} stands in itself by way of other frames.',
});
