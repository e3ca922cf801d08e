import { rule } from '../../rule.js';

export default rule({
  code: 'frame-elsewhere',
  severity: 'error',
  title: 'A frame belongs to another part',
  message: '{frame} is a frame of {of}, but the position is due in {parent}. Use a frame of {parent}.',
});
