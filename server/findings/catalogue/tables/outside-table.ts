import { rule } from '../../rule.js';

export default rule({
  code: 'outside-table',
  severity: 'error',
  title: 'A table is asked outside its range',
  message:
    '{table} is asked at {asked}; it reaches from {low} to {high}. Nothing is extrapolated: extend the table, or keep the input inside.',
  fix: ({ data }, _text, { view, textAt }) => {
    const path = data['table']!.split('.');
    const entity =
      path.length > 1 ? view.namespace.resolvePath(path.slice(0, -1), view.namespace.root) : view.namespace.root;
    const item = entity?.values.get(path.at(-1)!);
    const rows = item?.value.kind === 'table' && item.value.inputs.length < 2 ? item.value.rows : [];
    const [first, last] = [rows[0], rows.at(-1)];
    if (!item || !first || !last || last.value.kind !== 'number') return null;
    const row = `${data['asked']} -> TBD${last.value.unitText ? ` ${last.value.unitText}` : ''}`;
    const above = parseFloat(data['asked']!) > parseFloat(data['high']!);
    return {
      title: `Begin a row at ${data['asked']}`,
      begins: true,
      edits: [
        above
          ? { place: { after: { owner: item, id: last.value.id } }, text: `, ${row}` }
          : { place: { owner: item, id: first.key.id }, text: `${row}, ${textAt({ owner: item, id: first.key.id })}` },
      ],
    };
  },
});
