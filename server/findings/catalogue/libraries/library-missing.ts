import { at, rule } from '../../rule.js';
import { usesOf } from '../../libraries.js';

export default rule({
  code: 'library-missing',
  severity: 'error',
  title: 'A library is not brought in',
  message: 'use "{path}" brings nothing in: {problem}.',
  onProject(report, view): void {
    for (const { declaration, use, outcome } of usesOf(view))
      if (outcome && 'problem' in outcome)
        report({
          code: 'library-missing',
          place: at(declaration, use.pathId),
          data: { path: use.path, problem: outcome.problem },
        });
  },
});
