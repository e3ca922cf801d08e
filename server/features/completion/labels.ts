/** Blocks by their names or labels, where one is cited. */
import { declared } from '../../model/statements.js';
import { titleOf } from '../../engine/values/describe.js';
import { isTemplate } from '../../engine/verification-index.js';
import { freeLabel } from '../../findings/fixes.js';
import { LABELLED_BLOCKS } from '../../language/index.js';
import type { Entity } from '../../model/namespace.js';
import type { Open } from '../../syntax/tolerant/tree.js';
import { BLOCK_KINDS } from '../block-kinds.js';
import { around, textOf } from '../caret.js';
import type { FeatureContext } from '../feature.js';
import { KIND, type Offers } from './offers.js';

export function labels(offers: Offers, kinds: readonly string[]): void {
  const { namespace } = offers.context.project;
  kinds.forEach((kind, i) => {
    for (const entity of namespace.entitiesOf(kind)) {
      if (entity.name === '' || entity.contenders.length === 0 || entity === offers.sight.entity) continue;
      if (entity.template && kind !== 'requirement') continue;
      if (kind === 'requirement' && !entity.template && isTemplate(entity)) continue;
      offers.add(entity.label, BLOCK_KINDS.get(kind)?.completion ?? KIND.reference, `${i}`, {
        detail: [kind, titleOf(entity)].filter(Boolean).join(' · '),
        data: { ...offers.data, entity: entity.key },
      });
    }
  });
}

export const anyLabel = (offers: Offers): void => labels(offers, LABELLED_BLOCKS);

/** Lots of the material that stands before `from` come first. */
export function lots(offers: Offers, path: readonly Open[]): void {
  const value = around(path, 'Value');
  const material = textOf(offers.caret, value?.node('expression'));
  for (const lot of offers.context.project.namespace.entitiesOf('lot')) {
    const of = declared(lot, 'lot').of?.path.join('.') ?? '';
    offers.add(lot.name, KIND.reference, of === material ? '0' : '1', {
      detail: [of, titleOf(lot)].filter(Boolean).join(' · '),
      data: { ...offers.data, entity: lot.key },
    });
  }
}

/** The name of a block that is labelled: the next free one. */
export function ownLabel(offers: Offers, path: readonly Open[]): void {
  const keyword = around(path, 'Declaration')?.token('keyword')?.image ?? '';
  const next = LABELLED_BLOCKS.includes(keyword) ? nextLabel(offers.context, keyword) : null;
  if (next) offers.add(next, KIND.reference, '0', { detail: 'the next free label' });
}

/** The label after the last one of its kind in the file, free in the project. */
export function nextLabel({ project, file }: FeatureContext, kind: string): string | null {
  const { namespace } = project;
  const startOf = ({ declaration: { placement, spans } }: Entity): number => placement.start + spans[0]!;
  let last: Entity | null = null;
  for (const entity of namespace.entitiesOf(kind)) {
    if (entity.template || entity.declaration.placement.file !== file || !/\d$/.test(entity.name)) continue;
    if (!last || startOf(entity) > startOf(last)) last = entity;
  }
  return last ? freeLabel(last.name, name => namespace.named(name).size > 0) : null;
}
