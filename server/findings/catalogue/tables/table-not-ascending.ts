import { isUnit, parseUnit, toSI } from '../../../units/index.js';
import { walk, type Expression } from '../../../model/expression.js';
import type { ValueItem } from '../../../model/declaration.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'table-not-ascending',
  severity: 'error',
  title: 'The keys of a table do not rise',
  message: 'This key is not larger than the one before it. Put the rows in ascending order.',
  fix: ({ place }, _text, { textAt }) => {
    const item = place.owner as ValueItem;
    let rows: readonly { readonly key: Expression; readonly value: Expression }[] = [];
    walk(item.value, node => {
      if (node.kind === 'table' && node.rows.some(({ key }) => key.id === place.id)) ({ rows } = node);
    });
    const keys = rows.map(({ key }) => numberOf(key));
    if (keys.length === 0 || keys.some(key => key === null) || new Set(keys).size < keys.length) return null;
    const order = rows.map((_, i) => i).sort((x, y) => keys[x]! - keys[y]!);
    const edits = order.flatMap((from, to) =>
      from === to
        ? []
        : (['key', 'value'] as const).map(part => ({
            place: { owner: item, id: rows[to]![part].id },
            text: textAt({ owner: item, id: rows[from]![part].id }),
          })),
    );
    return { title: 'Put the rows in order', edits };
  },
});

function numberOf(key: Expression): number | null {
  if (key.kind === 'unary' && key.operator === '-') {
    const number = numberOf(key.operand);
    return number === null ? null : -number;
  }
  if (key.kind !== 'number') return null;
  const unit = key.unitText === null ? null : parseUnit(key.unitText);
  return unit === null ? Number(key.text) : isUnit(unit) ? toSI(unit, key.text) : null;
}
