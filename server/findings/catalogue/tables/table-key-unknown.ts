import { here } from '../../fixes.js';
import { nearest } from '../../../base/index.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'table-key-unknown',
  severity: 'error',
  title: 'A table has no such key',
  message: ({ key, known, table, kind }) =>
    table
      ? `${table}, which ${kind} asks with this, has no row "${key}". It has: ${known}.`
      : `This table has no row "${key}". It has: ${known}.`,
  fix: ({ data }) => {
    const similar = nearest(data['key']!, data['known']!.split(', '));
    return similar === null ? null : here(`Replace by "${similar}"`, `"${similar}"`);
  },
});
