/** Hovers: a value with its calculation, a requirement with its status, a formula with its documentation. */
import { BUILTINS } from '../engine/elaboration/builtins.js';
import { citationText, printSides, printValue, workOut, type WorkedCalculation } from '../engine/explain.js';
import { caseName, type CheckResult } from '../engine/margin.js';
import type { RequirementResult } from '../engine/verification.js';
import { isTemplate } from '../engine/verification-index.js';
import { spanOf, type CheckItem, type ValueItem } from '../model/declaration.js';
import type { Expression } from '../model/expression.js';
import type { Entity } from '../model/namespace.js';
import type { ConfigurationView } from '../findings/index.js';
import type { TableValue } from '../engine/values/value.js';
import { spectrumPicture } from '../reports/plots/spectrum.js';
import { HOVER, type Ink, type Picture } from '../reports/plots/svg.js';
import { sweepPicture } from '../reports/plots/sweep.js';
import type { Project } from '../project/project.js';
import type { FeatureContext } from './feature.js';
import { codeBlock, codeSpan, table, words } from './markdown.js';
import { isSpectrum, spectraOf } from './spectra.js';
import { isWorse, worstCheck } from './status.js';
import { workedCheck, type GoverningInput } from './worked.js';
import { enclosing, spotAt, type Spot, type Target } from './resolve.js';
import { wordHover } from './word-hover.js';
import { keyOfValue, TITLE } from '../engine/evaluation/cell-key.js';

/** Pictures as Markdown, for editors that show them; null where one can't be drawn. */
export interface Drawing {
  formula(name: string | null, expression: Expression): string | null;
  /** `label`: what stands in the place of the picture where it isn't seen. */
  plot(label: string, draw: (ink: Ink) => Picture): string | null;
}

interface Hover {
  readonly markdown: string;
  readonly start: number;
  readonly end: number;
}

export function hoverText(context: FeatureContext, offset: number, draw: Drawing | null): Hover | null {
  const repeated = repeatedHover(context, offset);
  if (repeated) return repeated;
  const check = checkHover(context, offset, draw);
  const spot = spotAt(context.project, context.file, offset);
  const markdown = spot && spotText(context, spot, draw);
  if (!markdown) return check ?? wordHover(context.text, offset);
  // In a check its calculation comes first: there a name is asked for because of the margin.
  return { markdown: check ? `${check.markdown}\n\n---\n\n${markdown}` : markdown, start: spot.start, end: spot.end };
}

/** A block whose label another has before it: nothing of it is evaluated, and what is known is the other's. */
function repeatedHover(context: FeatureContext, offset: number): Hover | null {
  const inside = enclosing(context.project, context.file, offset).find(
    ({ declaration, entity }) => entity.declaration !== declaration,
  );
  if (!inside) return null;
  const { declaration, entity } = inside;
  const markdown = `**${words(entity.label || entity.name)}** stands twice: this block is not evaluated. Rename one of them.`;
  return { markdown, ...spanOf(declaration, 2) };
}

function spotText(context: FeatureContext, { target, value, name }: Spot, draw: Drawing | null): string | null {
  if (target) return targetText(context, target, draw);
  return value && value.kind !== 'builtin'
    ? codeSpan(printValue(node => context.project.view.evaluation.number(node), value))
    : builtinText(name);
}

export function builtinText(name: string): string | null {
  const builtin = BUILTINS.get(name);
  return builtin ? `\`${builtin.signature}\`\n\n${builtin.doc}` : null;
}

export function targetText(context: FeatureContext, target: Target, draw: Drawing | null): string | null {
  switch (target.kind) {
    case 'parameter':
      return `${codeSpan(target.name)} · bound here`;
    case 'entity':
      return entityText(context, target.entity, draw);
    case 'value':
      return target.item.parameters
        ? formulaText(context, target.item)
        : valueText(context, target.entity, target.item, draw);
  }
}

function formulaText(context: FeatureContext, item: ValueItem): string {
  const text = context.project.text(item.placement.file) ?? '';
  const end = spanOf(item, item.value.id).end;
  const source = text.slice(spanOf(item, item.id).start, end).replace(/\s+/g, ' ');
  return [
    codeBlock(`${item.kind} ${source}`),
    words(item.doc ?? ''),
    sourceLine(citationText(context.project.view.evaluation, context.project.namespace.root, item.annotations)),
  ]
    .filter(Boolean)
    .join('\n\n');
}

function valueText(context: FeatureContext, entity: Entity, item: ValueItem, draw: Drawing | null): string {
  const { evaluation } = context.project.view;
  const cell = evaluation.cell(entity, keyOfValue(entity, item));
  if (!cell) return `**${words(`${entity.path ? `${entity.path}.` : ''}${item.name}`)}**`;
  const read = (node: number): number => evaluation.number(node);
  const lines = [`**${words(cell.path)}** = ${codeSpan(printValue(read, cell.value))}`];
  if (cell.value.kind === 'quantity' && evaluation.readings.isTolerant(cell.value.node)) {
    const end = (sign: 1 | -1): string =>
      printValue(() => evaluation.readings.extreme((cell.value as { node: number }).node, sign), cell.value);
    lines.push(`between ${codeSpan(end(1))} and ${codeSpan(end(-1))}`);
  }
  if (isSpectrum(cell.value)) lines.push(spectrumText(cell.path, cell.value, draw));
  const worked = workOut(evaluation, cell, item.value, () => null, sourceText(context));
  if (worked && worked.inputs.length > 0)
    lines.push(workedText(context, draw, item.path[item.path.length - 1]!, item.value, worked));
  const { annotations } = item;
  const said = [
    annotations.basis && `basis ${annotations.basis}`,
    annotations.tbc && 'to be confirmed',
    annotations.maturity && `maturity ${annotations.maturity}`,
  ]
    .filter(Boolean)
    .join(' · ');
  if (said) lines.push(words(said));
  lines.push(sourceLine(citationText(evaluation, entity, annotations)));
  if (item.doc) lines.push(words(item.doc));
  return lines.filter(Boolean).join('\n\n');
}

/** Formula (drawn, where the editor shows pictures), numbers, result, and a table of the inputs under it. */
function workedText(
  context: FeatureContext,
  draw: Drawing | null,
  name: string | null,
  expression: Expression,
  worked: WorkedCalculation,
): string {
  const inputs = worked.inputs.map(input => ({ ...input, stated: null }));
  const steps = [...new Set([worked.numbers, worked.result])];
  return [stepsText(draw, name, expression, worked.formula, steps), inputsText(context, inputs)].join('\n\n');
}

function stepsText(
  draw: Drawing | null,
  name: string | null,
  expression: Expression,
  formula: string,
  steps: readonly string[],
): string {
  const drawn = draw?.formula(name, expression) ?? null;
  const numbers = steps.filter(step => step !== formula).map(step => `= ${step}`);
  const block = drawn === null ? [formula, ...numbers] : numbers;
  return [drawn, block.length > 0 && codeBlock(block.join('\n'))].filter(Boolean).join('\n\n');
}

/** A column that would be empty is left out. */
function inputsText(context: FeatureContext, inputs: readonly GoverningInput[]): string {
  if (inputs.length === 0) return '';
  const columns: readonly (readonly [string, (input: GoverningInput) => string])[] = [
    ['input', ({ name }) => codeSpan(name)],
    ['value', ({ text }) => words(text)],
    ['stated', ({ stated }) => (stated === null ? '' : codeSpan(stated))],
    ['written', ({ place }) => writtenAt(context, place)],
    ['source', ({ source }) => words(source ?? '')],
  ];
  const filled = columns
    .map(([head, cell]) => ({ head, cells: inputs.map(cell) }))
    .filter(({ cells }) => cells.some(cell => cell !== ''));
  return table(
    filled.map(({ head }) => head),
    inputs.map((_, i) => filled.map(({ cells }) => cells[i]!)),
  );
}

/** A link to the line, counted as editors do. */
function writtenAt(context: FeatureContext, place: WorkedCalculation['inputs'][number]['place']): string {
  if (!place) return '';
  const line = context.linesOf(place.file).position(place.start).line + 1;
  return `[${words(place.file.replace(/^.*[/:]/, ''))}:${line}](${context.uri(place.file)}#L${line})`;
}

function sourceLine(source: string | null): string {
  return source ? `Source: ${words(source)}` : '';
}

function sourceText(context: FeatureContext): (file: string, start: number, end: number) => string {
  return (file, start, end) => (context.project.text(file) ?? '').slice(start, end);
}

function entityText(context: FeatureContext, entity: Entity, draw: Drawing | null): string {
  const title = context.project.view.evaluation.resultOf(entity, TITLE);
  const said =
    title?.kind === 'text'
      ? title.text
      : (entity.title?.segments.map(segment => (typeof segment === 'string' ? segment : '…')).join('') ?? '');
  const head = `**${words(entity.label || entity.kind)}** · ${entity.kind}${said ? ` · ${words(said)}` : ''}`;
  const body =
    entity.kind === 'requirement' && !isTemplate(entity)
      ? requirementTexts(context.project.results(entity))
      : entity.kind === 'part'
        ? massText(context, entity)
        : entity.kind === 'load'
          ? [...spectraOf(context.project, [entity])]
              .map(([name, table]) => spectrumText(name, table, draw))
              .join('\n\n')
          : '';
  return [head, body, words(entity.declaration.doc ?? '')].filter(Boolean).join('\n\n');
}

function massText(context: FeatureContext, entity: Entity): string {
  const { evaluation } = context.project.view;
  const masses = ['basic_mass', 'predicted_mass'].map(name => evaluation.attribute(entity, name));
  const [basic, predicted] = masses.map(value => (value ? printValue(node => evaluation.number(node), value) : ''));
  return `Mass with all inside: basic ${codeSpan(basic!)}, predicted ${codeSpan(predicted!)}`;
}

/** Configurations in which all is the same are told once, by their names. */
function requirementTexts(results: readonly { view: ConfigurationView; result: RequirementResult }[]): string {
  const alike = new Map<string, string[]>();
  for (const { view, result } of results) {
    const text = requirementText(view, result);
    alike.set(text, [...(alike.get(text) ?? []), ...(view.name === null ? [] : [view.name])]);
  }
  return [...alike]
    .map(([text, names]) => (alike.size === 1 || names.length === 0 ? text : `${words(names.join(', '))}: ${text}`))
    .join('\n\n');
}

function requirementText(view: ConfigurationView, result: RequirementResult): string {
  const lines = [`**${result.status}**${result.thin ? ' · thin' : ''}`];
  if (result.reasons.length > 0) lines.push(result.reasons.map(reason => `- ${words(reason)}`).join('\n'));
  if (result.checks.length > 0)
    lines.push(
      table(
        ['check', 'governing case', 'applied', 'allowable', 'margin'],
        result.checks.map(check => checkRow(view, check).map(words)),
      ),
    );
  if (result.methods.length > 0)
    lines.push(
      result.methods
        .map(
          ({ method, closed, by, open }) =>
            `- ${words(`${method.name}: ${closed ? `closed by ${by}` : open.join('; ')}`)}`,
        )
        .join('\n'),
    );
  return lines.join('\n\n');
}

function checkRow(view: ConfigurationView, check: CheckResult): string[] {
  const { governing } = check;
  if (!governing) return [check.item.mode ?? '', '', '', '', 'undetermined'];
  const sides = printSides(governing);
  return [
    check.item.mode ?? '',
    caseName(view.evaluation, governing.row),
    sides.applied,
    sides.allowable,
    sides.margin,
  ];
}

type Worst = NonNullable<ReturnType<typeof worstCheck>>;

/** Anywhere in a check: both sides worked out in the row that governs, in the configuration where it is worst. */
function checkHover(context: FeatureContext, offset: number, draw: Drawing | null): Hover | null {
  for (const { declaration, entity } of enclosing(context.project, context.file, offset).reverse()) {
    const i = declaration.checks.findIndex(item => isIn(spanOf(item, item.id), offset));
    if (i < 0) continue;
    const item = declaration.checks[i]!;
    const worst = worstOf(context.project, entity, item);
    if (!worst) return null;
    return { markdown: checkText(context, worst, draw), ...spanOf(item, item.id) };
  }
  return null;
}

/** A check that stands in a kind is told where it is worst among what is of that kind. */
function worstOf(project: Project, entity: Entity, item: CheckItem): Worst | null {
  const instances = isTemplate(entity)
    ? project.view.verification.index.requirements.filter(({ checks }) => checks.includes(item))
    : [entity];
  return instances
    .flatMap(instance => worstCheck(project.configurations, instance, instance.checks.indexOf(item)) ?? [])
    .reduce<Worst | null>((worst, next) => (!worst || isWorse(next.check, worst.check) ? next : worst), null);
}

function isIn({ start, end }: { readonly start: number; readonly end: number }, offset: number): boolean {
  return start <= offset && offset <= end;
}

function spectrumText(name: string, table: TableValue, draw: Drawing | null): string {
  return draw?.plot(`${name} over frequency`, ink => spectrumPicture(name, table, ink, HOVER)) ?? '';
}

/** Fewer cases are told by the governing one, more take longer to draw than a hover may. */
const FEWEST_ROWS = 3;
const MOST_ROWS = 2_000;

/** The margin over what a check sweeps. It stands last: a hover is low, and what decides comes first. */
function sweepText(view: ConfigurationView, result: CheckResult, draw: Drawing | null): string {
  if (
    !draw ||
    result.rowCount < FEWEST_ROWS ||
    result.rowCount > MOST_ROWS ||
    !result.governing ||
    !Number.isFinite(result.governing.margin)
  )
    return '';
  return draw.plot('margin over the cases of the check', ink => sweepPicture('Margin', view, result, ink, HOVER)) ?? '';
}

function checkText(context: FeatureContext, { view, check, configuration }: Worst, draw: Drawing | null): string {
  const worked = workedCheck(context.project, view, check);
  if (!worked) return 'undetermined';
  const { margin, governing, applied, allowable, sides, inputs, factors } = worked;
  const part = check.cell.entity.template ? check.cell.entity.part?.path : null;
  const place = [part, configuration, governing].filter(Boolean).join(': ');
  const rows = check.rowCount > 1 ? `${check.rowCount} rows` : '';
  const reading = check.reading === 'nominal' ? '' : check.reading;
  return [
    [`**${margin}**`, words(place), reading, rows].filter(Boolean).join(' · '),
    `${check.reading === 'nominal' ? '' : 'At worst '}${codeSpan(applied)} against ${codeSpan(allowable)}${toldHow(check, sides.length)}`,
    variedText(inputs),
    ...sides.map(({ expression, formula, steps }) => stepsText(draw, null, expression, formula, steps)),
    inputsText(context, inputs),
    factors.length > 0 ? `Factors: ${words(factors.join(' × '))}` : '',
    sweepText(view, check, draw),
  ]
    .filter(Boolean)
    .join('\n\n');
}

/** So many stand where they are seen at once: a hover is low. The table below has all. */
const MOST_VARIED = 4;

function variedText(inputs: readonly GoverningInput[]): string {
  const varied = inputs.filter(({ stated }) => stated !== null);
  const more = varied.length > MOST_VARIED ? [`${varied.length - MOST_VARIED} more below`] : [];
  return varied
    .slice(0, MOST_VARIED)
    .map(({ name, text, stated }) => `${codeSpan(name)} at ${words(text)} of ${codeSpan(stated!)}`)
    .concat(more)
    .join(' · ');
}

function toldHow({ reading }: CheckResult, sides: number): string {
  return sides === 0 ? '' : reading === 'nominal' ? ', calculated:' : ', calculated there:';
}
