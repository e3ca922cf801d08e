import type { TextItem } from '../model/declaration.js';
import type { Entity } from '../model/namespace.js';
import type { ConfigurationView } from '../findings/index.js';
import { TITLE } from '../engine/evaluation/cell-key.js';

/** The title of a block, with what it prints filled in. */
export function titleText(view: ConfigurationView, entity: Entity): string | null {
  const title = view.evaluation.resultOf(entity, TITLE);
  if (title?.kind === 'text') return title.text;
  return entity.title && writtenText(entity.title);
}

/** A text as it is written, without what it prints. */
export function writtenText({ segments }: TextItem): string {
  return segments.map(segment => (typeof segment === 'string' ? segment : '…')).join('');
}
