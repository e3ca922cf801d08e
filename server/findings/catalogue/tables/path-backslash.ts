import { here } from '../../fixes.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'path-backslash',
  severity: 'error',
  title: 'A path is written with backslashes',
  message: '"{written}" is read by one system alone. Write / between folders: "{mended}".',
  fix: ({ data }) => here('Write /', `"${data['mended']}"`),
});
