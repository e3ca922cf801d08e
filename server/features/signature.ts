/** Formulas and builtins as they are called: parameters with their dimensions, validity, source. */
import { BUILTINS } from '../engine/elaboration/builtins.js';
import type { TableValue, Value } from '../engine/values/value.js';
import { spanOf, type Parameter, type TypeExpression, type ValueItem } from '../model/declaration.js';
import { citationText } from '../engine/explain.js';
import { dimensionName, type Dimension } from '../units/index.js';
import type { FeatureContext } from './feature.js';
import { codeSpan, words } from './markdown.js';

export interface Signature {
  readonly label: string;
  /** Markdown. */
  readonly documentation: string;
  /** Each parameter as it stands in the label, with what is said of it. */
  readonly parameters: readonly { readonly label: string; readonly documentation: string; readonly name: string }[];
}

/** A type as it is written; null where there is none. */
export function typeText(type: TypeExpression | null): string | null {
  if (!type) return null;
  switch (type.kind) {
    case 'list':
      return `[${typeText(type.element) ?? 'value'}]`;
    case 'record':
      return `{ ${type.fields.map(parameterText).join(', ')} }`;
    case 'product':
      return type.terms
        .map(
          ({ name, exponent }, i) =>
            `${i > 0 ? (exponent < 0 ? '/' : '*') : ''}${name}${Math.abs(exponent) === 1 ? '' : `^${Math.abs(exponent)}`}`,
        )
        .join('');
  }
}

function parameterText(parameter: Parameter): string {
  const type = typeText(parameter.type);
  return type ? `${parameter.name}: ${type}` : parameter.name;
}

export function signatureOf(context: FeatureContext, value: Value | null): Signature | null {
  switch (value?.kind) {
    case 'formula':
      return formulaSignature(context, value.item);
    case 'builtin':
      return builtinSignature(value.name);
    case 'table':
      return tableSignature(value);
    default:
      return null;
  }
}

/** The lines of a documentation comment that are about one name: `M: bending moment`. */
export function documentationOf(item: ValueItem): {
  readonly summary: string;
  readonly about: ReadonlyMap<string, string>;
  readonly notes: readonly string[];
} {
  const about = new Map<string, string>();
  const summary: string[] = [];
  const notes: string[] = [];
  for (const line of (item.doc ?? '').split('\n')) {
    const [, name, text] = /^(\w+): (.*)$/.exec(line) ?? [];
    if (name !== undefined && item.parameters?.some(parameter => parameter.name === name)) about.set(name, text!);
    else if (name !== undefined && /^[A-Z]/.test(name)) notes.push(line);
    else if (line.trim() !== '') (notes.length > 0 ? notes : summary).push(line);
  }
  return { summary: summary.join(' '), about, notes };
}

function formulaSignature(context: FeatureContext, item: ValueItem): Signature {
  const { summary, about, notes } = documentationOf(item);
  const parameters = item.parameters!.map(parameter => ({
    name: parameter.name,
    label: parameterText(parameter),
    documentation: words(about.get(parameter.name) ?? ''),
  }));
  const result = typeText(item.type);
  const source = context.project.text(item.placement.file) ?? '';
  const requires = item.conditions.map(condition => {
    const { start, end } = spanOf(item, condition.id);
    return source.slice(start, end);
  });
  const cited = citationText(context.project.view.evaluation, context.project.namespace.root, item.annotations);
  const lines = [
    words(summary),
    requires.length > 0 ? `Requires ${requires.map(codeSpan).join(', ')}.` : '',
    ...notes.map(words),
    cited ? `Source: ${words(cited)}` : '',
  ];
  return {
    label: `${item.name}(${parameters.map(parameter => parameter.label).join(', ')})${result ? `: ${result}` : ''}`,
    parameters,
    documentation: lines.filter(Boolean).join('\n\n'),
  };
}

function builtinSignature(name: string): Signature {
  const { signature, doc } = BUILTINS.get(name)!;
  const first = signature.split(' or ')[0]!;
  const inside = first.slice(first.indexOf('(') + 1, first.lastIndexOf(')'));
  const parameters = inside.includes(':') ? [inside] : inside.split(', ');
  return {
    label: signature,
    documentation: doc,
    parameters: parameters.map(label => ({ name: label, label, documentation: '' })),
  };
}

/** A table is asked like a function. */
function tableSignature(table: TableValue): Signature {
  const says = (of: { readonly text: boolean; readonly dimension: Dimension }): string =>
    of.text ? 'text' : dimensionName(of.dimension);
  const parameters = table.inputs.map((input, i) => ({
    name: input.name ?? '',
    label: `${input.name ?? (table.inputs.length === 1 ? 'x' : `x${i + 1}`)}: ${says(input)}`,
    documentation: reach(table, i),
  }));
  const name = table.origin
    ? [table.origin.entity.path, table.origin.item.name, ...table.origin.path].filter(Boolean).join('.')
    : 'table';
  return {
    label: `${name}(${parameters.map(parameter => parameter.label).join(', ')}): ${dimensionName(table.output.dimension)}`,
    parameters,
    documentation: `A table, ${table.data.interpolation}. Nothing is extrapolated.`,
  };
}

function reach(table: TableValue, input: number): string {
  const { keys } = table.data;
  return input === 0 ? `${keys.length} rows` : '';
}
