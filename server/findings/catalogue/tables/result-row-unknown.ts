import { nearest } from '../../../base/index.js';
import type { DataRows } from '../../../engine/values/value.js';
import type { Entity } from '../../../model/namespace.js';
import { at, rule, type ProjectView } from '../../rule.js';
import { declared } from '../../../model/statements.js';

/** Nothing asks for a row of what the project does not have, and a slip in its name is a row that is missing. */
export default rule({
  code: 'result-row-unknown',
  severity: 'warning',
  title: 'Results have a row for what the project does not have',
  message: ({ results, column, rows, key, kind, similar, others }) =>
    `${results} has ${rows} for ${key} in ${column}, and the project has no ${kind} of that name.${similar ? ` Is ${similar} meant?` : ''}${others ? ` (Also: ${others}.)` : ''}`,
  onProject(report, view): void {
    for (const results of view.namespace.ofKind('results')) {
      const rows = rowsOf(view, results);
      for (const { name, unitText } of declared(results, 'results').columns) {
        const kinds = KEYED.get(unitText ?? '');
        const [first, ...others] = kinds && rows ? strangersIn(rows, name, kinds, view) : [];
        if (first)
          report({
            code: 'result-row-unknown',
            place: at(results.declaration),
            data: {
              results: results.name,
              column: name,
              key: `"${first.key}"`,
              rows: first.count === 1 ? 'a row' : `${first.count} rows`,
              kind: kinds!.join(' or '),
              similar:
                nearest(
                  first.key,
                  kinds!.flatMap(kind => view.namespace.ofKind(kind)).map(each => each.name),
                ) ?? '',
              others: others.map(({ key }) => `"${key}"`).join(', '),
            },
          });
      }
    }
  },
});

/** Kinds of block that a column of keys names. */
const KEYED: ReadonlyMap<string, readonly string[]> = new Map([
  ['part', ['part']],
  ['load', ['load', 'case']],
]);

function rowsOf({ configurations }: ProjectView, results: Entity): DataRows | null {
  const { evaluation } = configurations[0]!;
  const rows = evaluation.outside(() => evaluation.host.rows(results));
  return rows.kind === 'rows' && rows.data.ready ? rows.data : null;
}

/** Keys that name no block, with how many rows have each. */
function strangersIn(
  { columns }: DataRows,
  name: string,
  kinds: readonly string[],
  { namespace }: ProjectView,
): { readonly key: string; readonly count: number }[] {
  const column = columns.get(name);
  if (column?.kind !== 'texts') return [];
  const known = new Set(kinds.flatMap(kind => namespace.ofKind(kind)).map(entity => entity.name));
  const counts = new Map<string, number>();
  // Numbers are those of elements.
  for (const key of column.texts)
    if (/^\p{L}/u.test(key) && !known.has(key)) counts.set(key, (counts.get(key) ?? 0) + 1);
  return [...counts].map(([key, count]) => ({ key, count }));
}
