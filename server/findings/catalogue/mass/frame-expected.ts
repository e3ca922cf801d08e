import { rule } from '../../rule.js';

export default rule({
  code: 'frame-expected',
  severity: 'error',
  title: 'A frame is due',
  message: 'There is no frame {name}. Declare it with frame, or remove in {name}.',
});
