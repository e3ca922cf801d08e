import { at, rule } from '../rule.js';

export default rule({
  code: 'kind-not-repeated',
  severity: 'error',
  title: 'A kind holds too much to be repeated',
  message:
    '{name} is {kind}, which holds {holds}: it is not repeated whole. Take the instances of kinds out of the kind.',
  onProject(report, { namespace }): void {
    for (const [part, holds] of namespace.notRepeated)
      if (part.contenders.length > 0)
        report({
          code: 'kind-not-repeated',
          place: at(part.declaration),
          data: { name: part.label, kind: part.declaration.is?.path.join('.') ?? '', holds },
        });
  },
});
