import { isTemplate } from '../../../engine/verification-index.js';
import { kindNotRepeated } from '../../../engine/elaboration/mass.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'kind-not-repeated',
  severity: 'error',
  title: 'A kind holds too much to be repeated',
  message:
    '{name} is {kind}, which holds {holds}: it is not repeated whole. Take the instances of kinds out of the kind.',
  onProject(report, { namespace }): void {
    for (const [part, holds] of namespace.partsNotRepeated)
      if (part.contenders.length > 0 && (holds === 'itself' || !isTemplate(part)))
        report({
          code: 'kind-not-repeated',
          place: at(part.declaration),
          data: kindNotRepeated(part, holds),
        });
  },
});
