import { BLOCKS } from '../../../language/index.js';
import { nearest } from '../../../base/index.js';
import { at, rule } from '../../rule.js';

/** Names shorter than this are too easily like another. */
const SHORTEST = 4;

/** Blocks that take fields of the engineer's own are asked only for likely slips of a field that is not given. */
export default rule({
  code: 'unknown-field',
  severity: 'warning',
  title: 'A field is not known',
  message: ({ name, kind, similar, known, open }) =>
    similar
      ? `${name} is no field of ${kind}. Is ${similar} meant?`
      : open
        ? `${name} is no field of ${kind}.`
        : `${name} is no field of ${kind}. It takes: ${known}.`,
  onDeclaration(report, entity): void {
    const block = BLOCKS.get(entity.kind);
    if (!block) return;
    const known = Object.keys(block.fields);
    for (const item of entity.declaration.values) {
      if (item.kind !== 'field' || block.fields[item.name]) continue;
      const isFree = (name: string): boolean => !entity.values.has(name);
      const similar = block.open
        ? item.name.length < SHORTEST
          ? undefined
          : known.find(name => isSlip(item.name, name) && isFree(name))
        : (nearest(item.name, known.filter(isFree)) ?? '');
      if (similar === undefined) continue;
      report({
        code: 'unknown-field',
        place: at(item, item.id),
        data: {
          name: item.name,
          kind: entity.kind,
          similar,
          known: known.join(', ') || 'none',
          open: block.open ? 'yes' : '',
        },
      });
    }
  },
  fix: found =>
    found.data['similar']
      ? { title: `Replace by ${found.data['similar']}`, edits: [{ place: 'here', text: found.data['similar'] }] }
      : null,
});

/** One letter too many, too few, wrong or swapped, or another case: not an abbreviation. */
function isSlip(name: string, known: string): boolean {
  if (Math.abs(name.length - known.length) > 1) return false;
  if (name.toLowerCase() === known.toLowerCase()) return true;
  let i = 0;
  while (i < name.length && name[i] === known[i]) i++;
  const rest = (text: string, from: number): string => text.slice(from);
  return (
    rest(name, i + 1) === rest(known, i + 1) ||
    rest(name, i + 1) === rest(known, i) ||
    rest(name, i) === rest(known, i + 1) ||
    (name[i] === known[i + 1] && name[i + 1] === known[i] && rest(name, i + 2) === rest(known, i + 2))
  );
}
