import { BLOCKS } from '../../../language/index.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'misplaced-block',
  severity: 'error',
  title: 'A block stands where it cannot',
  message: "A {kind} can't stand in a {parent}; put it {where}.",
  onProject(report, view): void {
    for (const entity of view.namespace.entities.values()) {
      const parent = entity.template ? null : lexicalParent(entity.key, view.namespace.entities);
      if (!parent || !BLOCKS.has(entity.kind) || BLOCKS.get(parent.kind)?.children.includes(entity.kind)) continue;
      const homes = [...BLOCKS.values()]
        .filter(block => block.children.includes(entity.kind))
        .map(block => (block.kind === 'file' ? 'at the top of a file' : `in a ${block.kind}`));
      for (const declaration of entity.contenders)
        report({
          code: 'misplaced-block',
          place: at(declaration, 1),
          data: { kind: entity.kind, parent: parent.kind, where: homes.join(' or ') },
        });
    }
  },
});

/** What it is written in, which `part X in Bus` does not change. */
function lexicalParent<T extends { readonly kind: string }>(key: string, entities: ReadonlyMap<string, T>): T | null {
  for (let dot = key.lastIndexOf('.'); dot > 0; dot = key.lastIndexOf('.', dot - 1)) {
    const parent = entities.get(key.slice(0, dot));
    if (parent) return parent;
  }
  return null;
}
