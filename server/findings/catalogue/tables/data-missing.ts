import { rule } from '../../rule.js';

export default rule({
  code: 'data-missing',
  severity: 'error',
  title: 'The data are not there',
  message: 'The rows of {name} are not there, since its file is missing or was rejected.',
});
