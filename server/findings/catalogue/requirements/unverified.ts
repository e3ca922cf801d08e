import { freeLabel, inside, isTaken } from '../../fixes.js';
import type { MethodResult } from '../../../engine/verification.js';
import { METHOD_WORDS, methodWord } from '../../../engine/values/words.js';
import { evidenceFaults } from '../../../engine/evidence.js';
import { madeOf } from '../../../engine/verification-index.js';
import type { Method } from '../../../model/declaration.js';
import type { Entity } from '../../../model/namespace.js';
import { at, rule, type Fix, type ProjectView } from '../../rule.js';
import { requirementData } from '../../requirement-data.js';

export default rule({
  code: 'unverified',
  severity: 'information',
  title: 'A requirement is not verified yet',
  message: '{label}{passes} is not verified{configuration}: {open}.',
  onRequirement(report, result, configuration): void {
    if (
      result.own === 'unverified' &&
      result.open.length > 0 &&
      (result.methods.length === 0 || !result.methods.every(isMisspelt))
    )
      report({
        code: 'unverified',
        place: at(result.entity.declaration),
        data: {
          ...requirementData(result, configuration),
          passes: result.checks.length > 0 ? ' passes and' : '',
          open: result.open.join('; '),
        },
        related: result.evidence
          .filter(evidence => evidenceFaults(configuration.verification, evidence, result.entity).length > 0)
          .map(evidence => ({
            place: at(evidence.declaration),
            message: `${evidence.label} closes nothing as it is.`,
          })),
      });
  },
  fix: ({ data, place }, _text, { view }) => {
    const requirement = view.namespace.labelled(data['label']!)[0];
    const known =
      view.namespace
        .ofKind('evidence')
        .filter(entity => !entity.template)
        .at(-1)?.name ?? 'TR-0';
    if (!requirement) return null;
    const open = new Set(
      view.configurations.flatMap(({ verification }) =>
        verification
          .result(requirement)
          .methods.filter(({ closed }) => !closed)
          .map(({ method }) => method),
      ),
    );
    return [...open].flatMap((method): Fix[] => {
      if (method.name === 'analysis')
        return requirement.checks.length > 0
          ? []
          : [{ ...inside(`Begin a check of ${data['label']}`, requirement, 'check TBD <= TBD'), begins: true }];
      const label = freeLabel(known, isTaken(view.namespace));
      const article = articleOf(method, requirement, view);
      const level = method.level ? `\n  level = ${method.level}` : '';
      return [
        {
          title: `Begin evidence of ${method.name} for ${data['label']}`,
          begins: true,
          edits: [
            {
              place: { endOf: place },
              text: `\nevidence ${label} for ${data['label']}${article ? ` on ${article}` : ''} {\n  method = ${methodWord(method.name)}${level}\n  report = file("reports/${label}.csv")\n  date = ${view.asOf}\n  result = inconclusive\n}\n`,
            },
          ],
        },
      ];
    });
  },
});

/** Told where it is written: there is no such method. */
function isMisspelt({ method }: MethodResult): boolean {
  return !METHOD_WORDS.includes(method.name);
}

/** The article that a method names, else one of the part that a requirement is for. */
function articleOf(method: Method, { part }: Entity, { namespace }: ProjectView): string | undefined {
  if (method.article && !method.each) return method.article.path.join('.');
  return namespace.ofKind('article').find(article => part !== null && madeOf(namespace, article) === part)?.name;
}
