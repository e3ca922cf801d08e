/** Hovers: a value with its calculation, a requirement with its status, a formula with its documentation. */
import { BUILTINS } from '../engine/builtins.js';
import {
  citationText,
  factorChain,
  printSides,
  printValue,
  workOut,
  type WorkedCalculation,
} from '../engine/explain.js';
import { factorsOf } from '../engine/facts.js';
import { conditionNodes, type CheckRow } from '../engine/check.js';
import { caseName, type CheckResult, type RowResult } from '../engine/margin.js';
import type { RequirementResult } from '../engine/verification.js';
import { isTemplate } from '../engine/verification-index.js';
import type { Environment } from '../engine/elaboration.js';
import { spanOf, type CheckItem, type ValueItem } from '../model/declaration.js';
import type { Expression } from '../model/expression.js';
import type { Entity } from '../model/namespace.js';
import type { ConfigurationView } from '../findings/index.js';
import type { TableValue } from '../engine/value.js';
import { spectrumPicture } from '../reports/plots/spectrum.js';
import { HOVER, type Ink, type Picture } from '../reports/plots/svg.js';
import { sweepPicture } from '../reports/plots/sweep.js';
import type { FeatureContext } from './feature.js';
import { codeBlock, codeSpan, table, words } from './markdown.js';
import { isSpectrum, spectraOf } from './spectra.js';
import { enclosing, spotAt, type Target } from './resolve.js';
import { wordHover } from './word-hover.js';

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
  const spot = spotAt(context.project, context.file, offset);
  if (spot) {
    const markdown = spot.target
      ? targetText(context, spot.target, draw)
      : spot.value && spot.value.kind !== 'builtin'
        ? codeSpan(printValue(node => context.project.view.evaluation.number(node), spot.value))
        : builtinText(spot.name);
    if (markdown) return { markdown, start: spot.start, end: spot.end };
  }
  return checkHover(context, offset, draw) ?? wordHover(context.text, offset);
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
  const cell = evaluation.cell(entity, entity.declaration.value === item ? 'value' : item.name);
  if (!cell) return `**${words(`${entity.path ? `${entity.path}.` : ''}${item.name}`)}**`;
  const read = (node: number): number => evaluation.number(node);
  const lines = [`**${words(cell.key)}** = ${codeSpan(printValue(read, cell.value))}`];
  if (cell.value.kind === 'quantity' && evaluation.readings.isTolerant(cell.value.node)) {
    const end = (sign: 1 | -1): string =>
      printValue(() => evaluation.readings.extreme((cell.value as { node: number }).node, sign), cell.value);
    lines.push(`between ${codeSpan(end(1))} and ${codeSpan(end(-1))}`);
  }
  if (isSpectrum(cell.value)) lines.push(spectrumText(cell.key, cell.value, draw));
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
  const inputs = worked.inputs.map(input => [
    codeSpan(input.name),
    words(input.text),
    writtenAt(context, input.place),
    words(input.source ?? ''),
  ]);
  const drawn = draw?.formula(name, expression) ?? null;
  const steps =
    drawn === null
      ? codeBlock(`${worked.formula}\n= ${worked.numbers}\n= ${worked.result}`)
      : `${drawn}\n\n${codeBlock(`= ${worked.numbers}\n= ${worked.result}`)}`;
  return [steps, table(['input', 'value', 'written', 'source'], inputs)].join('\n\n');
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
  const title = context.project.view.evaluation.valueOf(entity, 'title');
  const said =
    title?.kind === 'text'
      ? title.text
      : (entity.title?.segments.map(segment => (typeof segment === 'string' ? segment : '…')).join('') ?? '');
  const head = `**${words(entity.label || entity.kind)}** · ${entity.kind}${said ? ` · ${words(said)}` : ''}`;
  const body =
    entity.kind === 'requirement' && !isTemplate(entity)
      ? context.project
          .results(entity)
          .map(({ view, result }) => requirementText(view, result))
          .join('\n\n')
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

function requirementText(view: ConfigurationView, result: RequirementResult): string {
  const lines = [`${view.name ? `${words(view.name)}: ` : ''}**${result.status}**${result.thin ? ' · thin' : ''}`];
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

/** Anywhere in a check: both sides worked out in the row that governs. */
function checkHover(context: FeatureContext, offset: number, draw: Drawing | null): Hover | null {
  for (const { declaration, entity } of enclosing(context.project, context.file, offset).reverse()) {
    for (const [i, item] of declaration.checks.entries()) {
      const span = spanOf(item, item.id);
      if (offset < span.start || offset > span.end || isTemplate(entity)) continue;
      const { view } = { view: context.project.view };
      const cell = view.evaluation.cell(entity, `check ${i + 1}`);
      if (!cell) return null;
      const result = view.verification.checkResult(cell);
      const markdown = checkText(context, view, result, draw);
      return { markdown, start: span.start, end: span.end };
    }
  }
  return null;
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

function checkText(
  context: FeatureContext,
  view: ConfigurationView,
  result: CheckResult,
  draw: Drawing | null,
): string {
  const { governing } = result;
  if (!governing) return 'undetermined';
  const sides = printSides(governing);
  const name = caseName(view.evaluation, governing.row);
  const lines = [
    `**${sides.margin}**${name ? ` · ${words(name)}` : ''}${result.reading === 'nominal' ? '' : ` · ${result.reading}`}${result.rowCount > 1 ? ` · ${result.rowCount} rows` : ''}`,
  ];
  const { steps, atWorst } = workedSides(context, view, result, governing);
  if (governing.reading !== 'nominal')
    lines.push(
      `At worst ${codeSpan(sides.applied)} against ${codeSpan(sides.allowable)}${steps.length === 0 ? '.' : atWorst ? ', calculated there:' : '. With nominal values:'}`,
    );
  for (const { side, worked } of steps) lines.push(workedText(context, draw, null, side, worked));
  const chain = factorChain(factorsOf(view.evaluation, governing.row));
  if (chain.length > 0) lines.push(`Factors: ${words(chain.join(' × '))}`);
  lines.push(sweepText(view, result, draw));
  return lines.filter(Boolean).join('\n\n');
}

interface WorkedSide {
  readonly side: Expression;
  readonly worked: WorkedCalculation;
}

/**
 * The sides of a comparison that are calculated from something: where what varies is at its worst, as the margin is.
 * What can't be repeated outside the check is told with nominal values, and not at all between the rows, where there
 * are none.
 */
function workedSides(
  context: FeatureContext,
  { evaluation }: ConfigurationView,
  { cell, item: { binders, condition } }: CheckResult,
  { row, at, leaf, left, right }: RowResult,
): { steps: readonly WorkedSide[]; atWorst: boolean } {
  if (condition.kind !== 'binary') return { steps: [], atWorst: false };
  const workSides = (): WorkedSide[] =>
    [condition.left, condition.right].flatMap(side => {
      const worked = workOut(evaluation, cell, side, () => rowEnvironment(binders, row), sourceText(context));
      return worked ? [{ side, worked }] : [];
    });
  const readable = (sides: WorkedSide[]): WorkedSide[] => sides.filter(({ worked }) => worked.inputs.length > 0);
  const nominal = workSides();
  if (!at || !leaf || !row.condition) return { steps: readable(nominal), atWorst: false };
  const { readings } = evaluation;
  const worst = readings.at(readings.varying(conditionNodes(row.condition)), at, workSides);
  const told = [printValue(() => left, leaf.left), printValue(() => right, leaf.right)];
  if (worst.every(({ worked }, i) => worked.result === told[i])) return { steps: readable(worst), atWorst: true };
  return { steps: cell.plan!.rows.includes(row) ? readable(nominal) : [], atWorst: false };
}

function rowEnvironment(binders: CheckItem['binders'], row: CheckRow): Environment | null {
  const values = row.values[0] ?? [];
  return binders.reduce<Environment | null>(
    (parent, binder, i) => (values[i] ? { name: binder.name, value: values[i]!, parent } : parent),
    null,
  );
}
