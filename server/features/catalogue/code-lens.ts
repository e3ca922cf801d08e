import type { CodeLens, Range } from 'vscode-languageserver-types';
import { printValue } from '../../engine/explain.js';
import { STATUSES } from '../../engine/verification.js';
import { isTemplate } from '../../engine/verification-index.js';
import { spanOf, type Declaration, type ValueItem } from '../../model/declaration.js';
import { keyOf, type Entity } from '../../model/namespace.js';
import { LIBRARY } from '../../project/project.js';
import { feature, rangeOf, type FeatureContext } from '../feature.js';
import { usesByFile } from '../uses.js';
import { statusLine, worstBelow, worstResult } from '../status.js';

interface Data {
  readonly uri: string;
  readonly entity: string;
  readonly name?: string;
  readonly library?: boolean;
}

/** Files looked at between two chances for others to come in between. */
const FILES_AT_ONCE = 10;

/**
 * A line above each requirement, part and formula. A status is at hand; masses and uses are found out when they come
 * into sight.
 */
export default [
  feature('textDocument/codeLens', { codeLensProvider: { resolveProvider: true } }, context => {
    const lenses: CodeLens[] = [];
    const uri = context.uri(context.file);
    const library = context.file.startsWith(LIBRARY);
    const root = context.project.namespaceOf(context.file);
    const add = (span: { start: number; end: number }, data: Omit<Data, 'uri'>): void =>
      void lenses.push({ range: rangeOf(context.lines, span.start, span.end), data: { uri, ...data } });
    const trials = context.settings.views && !library;
    const trial = (title: string, start: number, end: number): void => {
      const range = rangeOf(context.lines, start, end);
      lenses.push({ range, command: { title, command: TRY_VALUE, arguments: [{ uri, ...range.start }] } });
    };
    const visit = (declaration: Declaration, key: string): void => {
      // A design variable is what a trial is for.
      if (trials)
        for (const item of declaration.values)
          if (item.annotations.within)
            trial('try another value', spanOf(item, item.id).start, spanOf(item, item.value.id).end);
      for (const item of declaration.values)
        if (item.parameters && (item.kind === 'formula' || item.doc))
          add(spanOf(item, item.id), { entity: key, name: item.name, ...(library ? { library } : {}) });
      for (const child of declaration.children) {
        const inner = key + (key ? '.' : '') + keyOf(child);
        const entity = root.entities.get(inner);
        if (!entity) continue;
        if (entity.declaration === child && !library && entity.kind === 'requirement')
          lenses.push(
            statusLens(context, entity, rangeOf(context.lines, spanOf(child, 2).start, spanOf(child, 2).end)),
          );
        if (entity.declaration === child && entity.kind === 'part' && !isTemplate(entity))
          add(spanOf(child, 2), { entity: inner });
        if (trials && entity.declaration === child && child.checks.length > 0 && !isTemplate(entity))
          trial('try a value', spanOf(child, 2).start, spanOf(child, 2).end);
        visit(child, inner);
      }
    };
    for (const piece of root.piecesOf(context.file)) visit(piece.root, root.topOf(context.file).key);
    return lenses.sort((x, y) => x.range.start.line - y.range.start.line);
  }),
  feature('codeLens/resolve', {}, async (context, lens: CodeLens) =>
    lens.command ? lens : { ...lens, command: { title: await titleOf(context, lens.data as Data), command: '' } },
  ),
];

/** Commands of the extension; other editors show the words alone. */
const TRY_VALUE = 'gusset.tryValue';
const SHOW_SHEET = 'gusset.showMarginSheet';

function statusLens(context: FeatureContext, entity: Entity, range: Range): CodeLens {
  const title = isTemplate(entity) ? instancesTitle(context, entity) : (statusLine(context.project, entity) ?? '');
  return {
    range,
    command: context.settings.views
      ? { title, command: SHOW_SHEET, arguments: [{ uri: context.uri(context.file), ...range.start }] }
      : { title, command: '' },
  };
}

async function titleOf(context: FeatureContext, { entity: key, name, library }: Data): Promise<string> {
  const { namespace, library: formulas } = context.project;
  const entity = library ? formulas.root : namespace.entity(key);
  if (!entity) return '';
  const item = name === undefined ? undefined : entity.values.get(name);
  return item ? usesTitle(context, entity, item) : entity.kind === 'part' ? partTitle(context, entity) : '';
}

async function usesTitle(context: FeatureContext, entity: Entity, item: ValueItem): Promise<string> {
  let uses = 0;
  let files = 0;
  for (const found of usesByFile(context.project, [{ kind: 'value', entity, item }], context.project.files)) {
    uses += found.length;
    if (++files % FILES_AT_ONCE === 0) await context.pause();
  }
  return uses === 0 ? 'not used' : uses === 1 ? 'used once' : `used ${uses} times`;
}

/** `2.31 kg predicted · 1 of 7 failing`. */
function partTitle(context: FeatureContext, part: Entity): string {
  const { evaluation } = context.project.view;
  const mass = evaluation.attribute(part, 'predicted_mass');
  const number = mass?.kind === 'quantity' ? evaluation.number(mass.node) : NaN;
  const massText =
    mass?.kind === 'quantity' && number === number
      ? number > 0
        ? `${printValue(node => evaluation.number(node), mass)} predicted`
        : ''
      : 'mass undetermined';
  const worst = worstBelow(context.project, part);
  return (
    [massText, worst ? `${worst.count} of ${worst.total} ${worst.status}` : ''].filter(Boolean).join(' · ') ||
    'no mass, no requirement'
  );
}

/** A requirement of a kind stands for those of its instances. */
function instancesTitle(context: FeatureContext, template: Entity): string {
  const instances = [...context.project.namespace.named(template.name)].filter(entity => entity.template === template);
  const statuses = instances.map(entity => worstResult(context.project, entity)?.result.status);
  const worst = STATUSES.find(status => statuses.includes(status));
  return worst
    ? `${statuses.filter(status => status === worst).length} of ${instances.length} ${worst}`
    : 'no part is of this kind';
}
