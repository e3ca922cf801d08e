import { builtOn, lotContradictions, materialOf, type Use } from '../../../engine/articles.js';
import type { Place } from '../../../engine/values/value.js';
import { isTemplate, lotsOf, madeOf } from '../../../engine/verification-index.js';
import { cited } from '../../../engine/values/words.js';
import type { Reference } from '../../../model/expression.js';
import type { Entity } from '../../../model/namespace.js';
import { at, rule, type ConfigurationView, type ProjectView } from '../../rule.js';
import { declared } from '../../../model/statements.js';

export default rule({
  code: 'lot-unfit',
  severity: 'warning',
  title: 'A lot does not fit what is made of it',
  message:
    '{name} is made from {lot}{configuration}, and {fault}. Take it from another lot, or correct what is written.',
  onProject(report, view): void {
    for (const configuration of view.configurations)
      for (const { name, lot, place, material, use } of usesOf(view, configuration))
        for (const fault of lotContradictions(configuration.verification, lot, material, use))
          report({
            code: 'lot-unfit',
            place,
            data: { name, lot: lot.name, fault, configuration: configuration.name ?? '' },
          });
  },
});

interface LotUse {
  readonly name: string;
  readonly lot: Entity;
  readonly place: Place;
  readonly material: Entity | null;
  readonly use: Use | null;
}

/** Lots that parts and articles say they are made from. */
function* usesOf(view: ProjectView, configuration: ConfigurationView): Iterable<LotUse> {
  const { evaluation, verification } = configuration;
  const { namespace } = view;
  const lotsIn = (references: readonly Reference[]): { lot: Entity; id: number }[] =>
    references.flatMap(reference =>
      namespace
        .labelled(cited(reference))
        .filter(({ kind }) => kind === 'lot')
        .map(lot => ({ lot, id: reference.id })),
    );
  for (const part of namespace.ofKind('part')) {
    const item = evaluation.itemOf(part, 'material')?.item;
    if (!item?.annotations.from || part.template || isTemplate(part)) continue;
    const name = part.path;
    const material = materialOf(evaluation, part);
    for (const { lot, id } of lotsIn(item.annotations.from))
      yield {
        name,
        lot,
        place: at(item, id),
        material,
        use: isBuilt(view, part, lot) ? null : { name, day: view.asOf },
      };
  }
  for (const article of namespace.ofKind('article')) {
    const model = madeOf(namespace, article);
    const day = builtOn(verification, article);
    for (const { lot, id } of lotsIn(declared(article, 'article').from))
      yield {
        name: article.name,
        lot,
        place: at(article.declaration, id),
        material: model && materialOf(evaluation, model),
        use: day === null ? null : { name: article.name, day },
      };
  }
}

/** Whether an article of a part was made from a lot: then its own day counts. */
function isBuilt({ namespace }: ProjectView, part: Entity, lot: Entity): boolean {
  return [...namespace.entitiesOf('article')].some(
    article => madeOf(namespace, article) === part && lotsOf(namespace, article).includes(lot),
  );
}
