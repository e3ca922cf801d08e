import { isTemplate } from '../../engine/verification-index.js';
import type { Value } from '../../engine/values/value.js';
import { expressionsOf, itemsOf } from '../../findings/text-search.js';
import { spanOf, type Declaration, type Item } from '../../model/declaration.js';
import { walk } from '../../model/expression.js';
import type { Entity } from '../../model/namespace.js';
import { parsePiece, tokenize } from '../../syntax/parser.js';
import type { FeatureContext, TextEditAt } from '../feature.js';
import { annotationReferences, boundNames, enclosing, referencesOf } from '../resolve.js';
import { usesOf } from '../uses.js';
import { action, freeNames, freshName, type Refactoring, type Span } from '../refactoring.js';
import { typeOfQuantity } from './type-name.js';

/** A statement of a block with the comments that belong to it: those before it, and the one that ends its line. */
interface Statement extends Span {
  /** Where the statement itself begins and ends. */
  readonly own: Span;
  /** What it holds: one value, or a block. */
  readonly item: Item | null;
  readonly block: Declaration | null;
}

/** Fields that say where and as what one part is built. */
const OF_ONE_PART = new Set(['position', 'drawing', 'frame', 'growth']);
/** What `given` calls a value that is no number. */
const WORDS: Readonly<Partial<Record<Value['kind'], string>>> = {
  vector: 'vector',
  table: 'table',
  list: 'list',
  text: 'text',
  date: 'date',
  truth: 'condition',
  load: 'load',
};

/**
 * The part whose name the caret is on becomes the first of a `kind`: what is calculated from its own values, and its
 * requirements, go there;
 * the values they read stay as its own and are `given`. Only where each name means the same in the kind.
 */
export const makeKind: Refactoring = (context, start) => {
  const around = enclosing(context.project, context.file, start);
  const { declaration, entity: part } = around.at(-1) ?? {};
  if (
    !declaration ||
    !part ||
    declaration.kind !== 'part' ||
    declaration.is ||
    part.contenders.length !== 1 ||
    isTemplate(part)
  )
    return [];
  const name = spanOf(declaration, 2);
  if (start < name.start || start > name.end) return [];
  const statements = statementsOf(context.text, declaration);
  const moved = statements && movedOf(part, statements);
  if (!moved || moved.length === 0) return [];
  const given = givenOf(context, part, moved);
  const labels = given && labelEdits(context, part, moved);
  if (!labels) return [];
  const kind = freshName(context, context.project.namespace.root, `${part.name.replace(/[^\p{L}\p{N}_]+/gu, '_')}Kind`);
  const title = declaration.title && spanOf(declaration.title, 0);
  const titleText =
    title && declaration.title!.segments.every(segment => typeof segment === 'string')
      ? ` ${context.text.slice(title.start, title.end)}`
      : '';
  const outermost = spanOf(around[0]!.declaration, 0).start;
  const place = aboveComments(context.text, outermost);
  const body = [
    ...(given.length > 0 ? [`  given ${given.join(', ')}`] : []),
    ...moved.map(statement => laidOut(context.text, statement)),
  ].join('\n');
  const head = Math.max(name.end, title?.end ?? 0);
  return [
    action(context, `Make a kind of ${part.name}`, 'refactor.extract', [
      { file: context.file, start: place, end: place, text: `kind ${kind}${titleText} {\n${body}\n}\n\n` },
      { file: context.file, start: head, end: head, text: ` is ${kind}` },
      ...takenOut(context, statements!, new Set(moved)),
      ...labels,
    ]),
  ];
};

/** The statements of a block, read again for where each ends; null where the block can't be read. */
function statementsOf(text: string, declaration: Declaration): Statement[] | null {
  const whole = spanOf(declaration, 0);
  const { document, problems } = parsePiece(text.slice(whole.start, whole.end));
  const head = document.statements[0];
  if (problems.length > 0 || head?.$type !== 'Declaration' || !head.block) return null;
  const placed = (node: { $cstNode?: { offset: number; end: number } | undefined }): Span => ({
    start: whole.start + node.$cstNode!.offset,
    end: whole.start + node.$cstNode!.end,
  });
  let from = behindComment(text, placed(head.block).start + 1);
  return head.block.statements.map(statement => {
    const own = placed(statement);
    const within = ({ start }: Span): boolean => start >= own.start && start < own.end;
    const end = behindComment(text, own.end);
    const found = {
      start: from,
      end,
      own,
      item: declaration.values.find(item => within(spanOf(item, item.id))) ?? null,
      block: declaration.children.find(child => within(spanOf(child, 0))) ?? null,
    };
    from = end;
    return found;
  });
}

/** The end of the line where only a comment follows, else the place itself. */
function behindComment(text: string, from: number): number {
  return from + (/^[ \t]*(?:\/\/[^\n]*)?(?=\r?\n)/.exec(text.slice(from))?.[0].length ?? 0);
}

/** Requirements, what is calculated from values of the part, and the material where any of that reads it. */
function movedOf(part: Entity, statements: readonly Statement[]): Statement[] {
  const shared = statements.filter(
    ({ item, block }) =>
      block?.kind === 'requirement' ||
      item?.kind === 'let' ||
      item?.kind === 'formula' ||
      (item && isCalculated(part, item)),
  );
  const readsMaterial = shared.some(statement => contentOf(statement).some(item => namesOf(item).has('material')));
  return statements.filter(
    statement =>
      shared.includes(statement) ||
      (readsMaterial && statement.item?.kind === 'field' && statement.item.name === 'material'),
  );
}

/** A field that follows from others of the part, and is not chosen. */
function isCalculated(part: Entity, item: Item): boolean {
  return (
    item.kind === 'field' &&
    !OF_ONE_PART.has(item.name) &&
    !item.annotations.within &&
    [...namesOf(item)].some(name => part.values.has(name))
  );
}

function contentOf({ item, block }: Statement): Item[] {
  return item ? [item] : block ? itemsOf(block) : [];
}

/** Names that an item reads and does not bind. */
function namesOf(item: Item): Set<string> {
  const bound = new Set(boundNames(item).map(({ name }) => name));
  return new Set(
    expressionsOf(item)
      .flatMap(root => [...freeNames(root)])
      .filter(name => !bound.has(name)),
  );
}

/**
 * The values that stay with the part and are read in the kind, as parameters of `given`; null where a name would mean
 * something else there.
 */
function givenOf(context: FeatureContext, part: Entity, moved: readonly Statement[]): string[] | null {
  const shared = new Set(moved.flatMap(({ item }) => (item ? [item.name] : [])));
  const given = new Set<string>();
  for (const statement of moved) {
    const { block } = statement;
    if (block && (block.children.length > 0 || part.members.get(block.name)?.contenders.length !== 1)) return null;
    const local = new Set(block?.values.map(({ name }) => name));
    const references = [...(block ? referencesOf(block) : []), ...contentOf(statement).flatMap(annotationReferences)];
    if (!references.every(reference => isTheSame(context, part, reference.path[0]!))) return null;
    for (const item of contentOf(statement)) {
      if (readsLabel(item, part)) return null;
      for (const name of namesOf(item)) {
        if (local.has(name) || shared.has(name)) continue;
        if (part.values.has(name)) given.add(name);
        else if (!isTheSame(context, part, name)) return null;
      }
    }
  }
  const typed: (string | null)[] = [...part.values.keys()]
    .filter(name => given.has(name))
    .map(name => {
      const type = typeOf(context.project.view.evaluation.valueOf(part, name));
      return part.values.get(name)!.kind === 'field' && type ? `${name}: ${type}` : null;
    });
  return typed.every(entry => entry !== null) ? typed : null;
}

function typeOf(value: Value | undefined): string | null {
  if (value?.kind === 'entity')
    return ['material', 'part', 'load'].includes(value.entity.kind) ? value.entity.kind : null;
  return typeOfQuantity(value) ?? (value && WORDS[value.kind]) ?? null;
}

/** Whether a name that is no value of the part is found from the top of a file as it is from inside the part. */
function isTheSame(context: FeatureContext, part: Entity, name: string): boolean {
  if (part.members.has(name) || name === part.name) return false;
  const { namespace } = context.project;
  for (let at = part.parent; at && at.kind !== 'file'; at = at.parent) {
    if (at.values.has(name)) return false;
    if (at.members.has(name))
      return (
        [...namespace.named(name)].filter(entity => !entity.template).length === 1 && !namespace.root.values.has(name)
      );
  }
  return true;
}

/** `#LUG-1.limit` leads to the requirement of one part. */
function readsLabel(item: Item, part: Entity): boolean {
  let found = false;
  for (const root of expressionsOf(item))
    walk(root, node => {
      if (node.kind === 'label' && part.members.has(node.label)) found = true;
    });
  return found;
}

/** A requirement of an instance is cited with the instance, `LUG-1/Lug`; null where it can't be. */
function labelEdits(context: FeatureContext, part: Entity, moved: readonly Statement[]): TextEditAt[] | null {
  const edits: TextEditAt[] = [];
  for (const { block } of moved) {
    const requirement = block && part.members.get(block.name);
    if (!requirement) continue;
    if (context.project.namespace.named(requirement.name).size > 1) return null;
    for (const use of usesOf(context.project, [{ kind: 'entity', entity: requirement }])) {
      if (use.file === context.file && moved.some(({ start, end }) => use.start >= start && use.end <= end)) continue;
      const before = context.project.text(use.file)![use.start - 1];
      if (before === '.') continue;
      if (use.item && before !== '#') return null;
      // Without a hyphen it is a name and no label, and names all instances; there is but one.
      if (requirement.name.includes('-') && INSTANCE.test(part.name))
        edits.push({ file: use.file, start: use.end, end: use.end, text: `/${part.name}` });
      else if (use.item) return null;
    }
  }
  return edits;
}

const INSTANCE = /^[\p{L}_][\p{L}\p{N}_-]*$/u;

/** Where a block begins with the comment lines right above it. */
function aboveComments(text: string, start: number): number {
  let at = text.lastIndexOf('\n', start - 1) + 1;
  if (text.slice(at, start).trim() !== '') return start;
  while (at > 0) {
    const previous = text.lastIndexOf('\n', at - 2) + 1;
    if (!text.slice(previous, at).trimStart().startsWith('//')) break;
    at = previous;
  }
  return at;
}

/**
 * A statement with its comments as it stands in the kind: one step in, its lines as far in from each other as before.
 */
function laidOut(text: string, { start, end, own }: Statement): string {
  const comments = text.slice(start, own.start);
  const fromLine = text.slice(text.lastIndexOf('\n', own.start - 1) + 1, own.start);
  const indent = /^[ \t]*/.exec(fromLine)![0];
  const lead = comments.includes('\n') ? comments.slice(comments.indexOf('\n') + 1) : comments.trimStart();
  const blank = /^[ \t]*\r?\n/.test(lead) ? '\n' : '';
  const source = lead.replace(/^(?:[ \t]*\r?\n)+/, '').trimStart() + text.slice(own.start, end);
  return `${blank}${reindented(source, indent, '  ')}`;
}

/** Every line but those inside a text or a comment begins with `to` in the place of `from`. */
function reindented(source: string, from: string, to: string): string {
  const { tokens, comments } = tokenize(source);
  const whole = [...tokens.map(token => ({ start: token.startOffset, end: token.endOffset! + 1 })), ...comments].filter(
    ({ start, end }) => source.slice(start, end).includes('\n'),
  );
  let at = 0;
  return source
    .split('\n')
    .map(line => {
      const inside = whole.some(({ start, end }) => start < at && at < end);
      at += line.length + 1;
      return inside || line.trim() === ''
        ? line
        : to + (line.startsWith(from) ? line.slice(from.length) : line.trimStart());
    })
    .join('\n');
}

/** What goes is cut out, run by run; what stays keeps its line. */
function takenOut(
  context: FeatureContext,
  statements: readonly Statement[],
  moved: ReadonlySet<Statement>,
): TextEditAt[] {
  const { file, text } = context;
  const edits: TextEditAt[] = [];
  for (let i = 0; i < statements.length; i++) {
    if (!moved.has(statements[i]!)) continue;
    const first = statements[i]!;
    while (i + 1 < statements.length && moved.has(statements[i + 1]!)) i++;
    const { end } = statements[i]!;
    const gap = /^\s*/.exec(text.slice(first.start))![0];
    const behind = /^[ \t]*/.exec(text.slice(end))![0];
    const staysOnLine = gap.includes('\n') && !/^[ \t]*(?:\r?\n|\})/.test(text.slice(end));
    edits.push(
      staysOnLine
        ? { file, start: first.start, end: end + behind.length, text: gap }
        : { file, start: first.start, end, text: '' },
    );
  }
  return edits;
}
