import { lotFixes } from '../../fixes.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'no-lot',
  severity: 'error',
  title: 'A part names no lot',
  message: '{part} names no lot: write material = … from its lot.',
  fix: ({ data }, _text, help) =>
    lotFixes(help.view.namespace.resolvePath(data['part']!.split('.'), help.view.namespace.root), help),
});
