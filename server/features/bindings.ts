/** What parameters, sweeps and comprehensions bind at the caret, and the values that text before it has. */
import { parseDimension, divide, DIMENSIONLESS, type Dimension } from '../units/index.js';
import type { Environment } from '../engine/elaboration/elaboration.js';
import { isPoison, type Value } from '../engine/values/value.js';
import { BLOCKS } from '../language/index.js';
import type { Entity } from '../model/namespace.js';
import type { Project } from '../project/project.js';
import { blockOf, endsOperand, textOf, typeOf, type Caret, type Frame } from './caret.js';
import { dimensionOf, type Scene } from './evaluate.js';
import { declared } from '../model/statements.js';

export interface Expected {
  readonly dimension: Dimension;
  readonly point: boolean;
}

const COMPARISONS = new Set(['<=', '>=', '<', '>', '==', '!=', '..', '±']);
const SUMS = new Set(['+', '-']);
const PRODUCTS = new Set(['*', '/', '^']);
/** Words and signs that an expression begins behind. */
const BOUNDARIES = new Set([
  '=',
  ':',
  ',',
  '->',
  'and',
  'or',
  'not',
  'if',
  'then',
  'else',
  'requires',
  'where',
  'within',
  'step',
  'use',
  'thin',
  'at',
  'check',
  'while',
  'accepts',
  'least',
  'in',
  'for',
  'let',
  'formula',
  'unit',
  'KEYWORD',
  'by',
  'under',
  'from',
  'source',
  'basis',
  'maturity',
]);

/** The names bound where the caret is, the innermost last, as an environment. */
export function environmentAt(scene: Scene, caret: Caret, entity: Entity): Environment | null {
  let env: Environment | null = null;
  for (const frame of caret.frames) {
    if (frame.kind === 'block' && frame !== blockOf(caret)) continue;
    const to = frameEnd(caret, frame);
    const start = frame.statement;
    const head = typeOf(caret.tokens[start]);
    if (frame.kind === 'block' && (head === 'let' || head === 'formula'))
      env = parameters(scene, caret, entity, start, to, env);
    else if ((frame.kind === 'block' && head === 'check') || frame.kind === 'call')
      env = binders(scene, caret, entity, frame.kind === 'call' ? frame.opener + 1 : start, to, env);
    else if (frame.kind === 'record') env = entriesBefore(scene, caret, entity, frame.opener + 1, to, env);
  }
  return env;
}

/** Where the part of a frame ends that stands before the next inner one. */
function frameEnd(caret: Caret, frame: Frame): number {
  return caret.frames[caret.frames.indexOf(frame) + 1]?.opener ?? caret.tokens.length;
}

/** Entries of a record, and what `let` names among them, before the one that the caret is in. */
function entriesBefore(
  scene: Scene,
  caret: Caret,
  entity: Entity,
  start: number,
  to: number,
  env: Environment | null,
): Environment | null {
  const { tokens } = caret;
  const begins: number[] = [];
  let depth = 0;
  for (let i = start; i < to; i++) {
    const type = typeOf(tokens[i]);
    if (type === '(' || type === '[' || type === '{') depth++;
    else if (type === ')' || type === ']' || type === '}') depth--;
    const isNamed = type === 'NAME' && [':', '='].includes(typeOf(tokens[i + 1]));
    if (depth === 0 && isNamed) begins.push(i);
  }
  let result = env;
  begins.slice(0, -1).forEach((at, n) => {
    const next = begins[n + 1]!;
    const end = [',', 'let'].includes(typeOf(tokens[next - 1])) ? next - 1 : next;
    const value = scene.value(textOf(caret, at + 2, end), entity, result);
    result = { name: tokens[at]!.image, value: value ?? UNKNOWN, parent: result };
  });
  return result;
}

function parameters(
  scene: Scene,
  caret: Caret,
  entity: Entity,
  start: number,
  to: number,
  env: Environment | null,
): Environment | null {
  const { tokens } = caret;
  if (typeOf(tokens[start + 2]) !== '(') return env;
  const item = entity.values.get(tokens[start + 1]!.image);
  const known = item?.parameters ? scene.environment(entity, item) : null;
  let result = env;
  for (let i = start + 3; i < to && typeOf(tokens[i]) !== ')'; i++) {
    if (typeOf(tokens[i]) !== 'NAME' || (typeOf(tokens[i - 1]) !== '(' && typeOf(tokens[i - 1]) !== ',')) continue;
    const name = tokens[i]!.image;
    let end = i + 1;
    while (end < to && ![',', ')'].includes(typeOf(tokens[end]))) end++;
    const type = typeOf(tokens[i + 1]) === ':' ? scene.typed(textOf(caret, i + 2, end), entity) : null;
    result = { name, value: type && !isPoison(type) ? type : (find(known, name) ?? UNKNOWN), parent: result };
  }
  return result;
}

const UNKNOWN: Value = { kind: 'poison', reason: null };

export function find(env: Environment | null, name: string): Value | undefined {
  for (let at = env; at; at = at.parent) if (at.name === name) return at.value;
  return undefined;
}

/** `for L in corners(X), T in knots(L.temperature): …`, `k: …`, `x in lo .. hi: …`. */
function binders(
  scene: Scene,
  caret: Caret,
  entity: Entity,
  from: number,
  to: number,
  env: Environment | null,
): Environment | null {
  const { tokens } = caret;
  let result = env;
  let depth = 0;
  for (let i = from; i < to; i++) {
    const type = typeOf(tokens[i]);
    if (type === '(' || type === '[' || type === '{') depth++;
    else if (type === ')' || type === ']' || type === '}') depth--;
    if (depth > 0 || type !== 'NAME') continue;
    const next = typeOf(tokens[i + 1]);
    if (next === ':' && typeOf(tokens[i - 1]) !== 'check')
      result = { name: tokens[i]!.image, value: scene.value('1', entity, null) ?? UNKNOWN, parent: result };
    else if (next === 'in' && i + 2 < to) {
      const end = domainEnd(caret, i + 2, to);
      result =
        end < to || i + 2 < end ? scene.bind(tokens[i]!.image, textOf(caret, i + 2, end), entity, result) : result;
      i = end - 1;
    }
  }
  return result;
}

function domainEnd(caret: Caret, from: number, to: number): number {
  let depth = 0;
  for (let i = from; i < to; i++) {
    const type = typeOf(caret.tokens[i]);
    if (type === '(' || type === '[' || type === '{') depth++;
    else if (type === ')' || type === ']' || type === '}') depth--;
    else if (depth === 0 && (type === ',' || type === ':' || type === 'where')) return i;
  }
  return to;
}

/** A formula, table or builtin whose brackets the caret is in, with the argument it is at. */
export interface OpenCall {
  readonly frame: Frame;
  readonly callee: string;
  readonly value: Value | null;
  readonly argument: number;
  readonly argumentName: string | null;
}

export function callAt(scene: Scene, caret: Caret, entity: Entity, env: Environment | null): OpenCall | null {
  const frame = caret.frames.findLast(candidate => candidate.kind === 'call');
  if (!frame || caret.frames.slice(caret.frames.indexOf(frame)).some(candidate => candidate.kind === 'block'))
    return null;
  const callee = textOf(caret, operandStart(caret, frame.opener), frame.opener);
  if (callee === '') return null;
  const first = caret.tokens[frame.statement];
  const name = typeOf(first) === 'NAME' && typeOf(caret.tokens[frame.statement + 1]) === '=' ? first!.image : null;
  return {
    frame,
    callee,
    value: scene.value(callee, entity, env),
    argument: argumentIndex(caret, frame),
    argumentName: name,
  };
}

function argumentIndex(caret: Caret, frame: Frame): number {
  let depth = 0;
  let count = 0;
  for (let i = frame.opener + 1; i < caret.tokens.length; i++) {
    const type = typeOf(caret.tokens[i]);
    if (type === '(' || type === '[' || type === '{') depth++;
    else if (type === ')' || type === ']' || type === '}') depth--;
    else if (type === ',' && depth === 0) count++;
  }
  return count;
}

/** Where the operand begins that ends before token `end`: `a.b(c).d`. */
export function operandStart(caret: Caret, end: number): number {
  const { tokens } = caret;
  let at = end - 1;
  if (typeOf(tokens[at]) === 'UNIT') return Math.max(at - 1, 0);
  for (;;) {
    if (typeOf(tokens[at]) === ')' || typeOf(tokens[at]) === ']') {
      let depth = 0;
      for (; at >= 0; at--) {
        const type = typeOf(tokens[at]);
        if (type === ')' || type === ']') depth++;
        else if ((type === '(' || type === '[') && --depth === 0) break;
      }
      if (at > 0 && endsOperand(tokens[at - 1]) && tokens[at - 1]!.endOffset! + 1 === tokens[at]!.startOffset) at--;
      else return Math.max(at, 0);
    } else if (typeOf(tokens[at - 1]) === '.') at -= 2;
    else if (typeOf(tokens[at - 1]) === '#') return at - 1;
    else return Math.max(at, 0);
    if (at < 0) return 0;
  }
}

/** The dimension of what is due at the caret, by what stands round it; null where nothing tells. */
export function expectedAt(
  scene: Scene,
  project: Project,
  caret: Caret,
  entity: Entity,
  env: Environment | null,
  after: string,
): Expected | null {
  const frame = caret.frames.at(-1)!;
  const { tokens } = caret;
  const dimensions = (from: number, to: number): Expected | null =>
    to > from ? dimensionOf(scene.value(textOf(caret, from, to), entity, env)) : null;
  let [compare, sum, product] = [-1, -1, -1];
  let depth = 0;
  let boundary = tokens.length - 1;
  for (; boundary > frame.opener; boundary--) {
    const type = typeOf(tokens[boundary]);
    if (type === ')' || type === ']' || type === '}') depth++;
    else if (type === '(' || type === '[' || type === '{') depth--;
    if (depth > 0) continue;
    if (depth < 0 || BOUNDARIES.has(type)) break;
    if (PRODUCTS.has(type) && product < 0 && sum < 0 && compare < 0) product = boundary;
    else if (SUMS.has(type) && sum < 0 && compare < 0 && endsOperand(tokens[boundary - 1])) sum = boundary;
    else if (COMPARISONS.has(type) && compare < 0) compare = boundary;
  }
  const start = boundary + 1;
  const base =
    sum > 0
      ? dimensions(compare >= 0 ? compare + 1 : start, sum)
      : compare > 0
        ? dimensions(typeOf(tokens[compare]) === '±' ? operandStart(caret, compare) : start, compare)
        : (atBoundary(scene, project, caret, frame, boundary, entity, env, dimensions) ??
          ahead(scene, entity, env, after));
  if (product < 0) return base;
  if (typeOf(tokens[product]) === '^') return { dimension: DIMENSIONLESS, point: false };
  const left = dimensions(Math.max(sum, compare, start - 1) + 1, product);
  if (!base || !left) return null;
  return {
    dimension:
      typeOf(tokens[product]) === '*' ? divide(base.dimension, left.dimension) : divide(left.dimension, base.dimension),
    point: false,
  };
}

/** What stands behind the caret: `| <= material.yield`. */
function ahead(scene: Scene, entity: Entity, env: Environment | null, after: string): Expected | null {
  const found = /^[ \t]*(?:<=|>=|≤|≥|<|>|\+|-)[ \t]*([^\n]+)/u
    .exec(after)?.[1]
    ?.replace(/\/\/.*$/, '')
    .trim();
  return found ? dimensionOf(scene.value(found, entity, env)) : null;
}

function atBoundary(
  scene: Scene,
  project: Project,
  caret: Caret,
  frame: Frame,
  boundary: number,
  entity: Entity,
  env: Environment | null,
  dimensions: (from: number, to: number) => Expected | null,
): Expected | null {
  const { tokens } = caret;
  const word = typeOf(tokens[boundary]);
  if (frame.kind === 'call') {
    const call = callAt(scene, caret, entity, env);
    return call ? ofArgument(scene, call) : null;
  }
  if (frame.kind === 'list' || frame.kind === 'rows') {
    const second = word === '->';
    let at = frame.opener + 1;
    if (second) while (at < boundary && typeOf(tokens[at]) !== '->') at++;
    const from = second ? at + 1 : at;
    let to = from;
    while (to < boundary && ![',', '->'].includes(typeOf(tokens[to]))) to++;
    return from < boundary ? dimensions(from, to) : null;
  }
  if (frame.kind !== 'block') return null;
  if (word === 'within' || word === 'step' || word === 'use') {
    let equals = boundary;
    while (equals > frame.statement && typeOf(tokens[equals]) !== '=') equals--;
    return dimensions(
      equals + 1,
      word === 'step'
        ? boundary
        : tokens.findIndex((token, i) => i > equals && ['within', 'step', 'use'].includes(typeOf(token))),
    );
  }
  return word === '=' ? ofStatement(scene, project, caret, frame, entity) : null;
}

/** The dimension of a field or a `let` whose value is due. */
function ofStatement(scene: Scene, project: Project, caret: Caret, frame: Frame, entity: Entity): Expected | null {
  const { tokens } = caret;
  const head = typeOf(tokens[frame.statement]);
  const equals = tokens.findIndex((token, i) => i >= frame.statement && typeOf(token) === '=');
  if (head === 'let' || head === 'formula') {
    const colon = tokens.findIndex(
      (token, i) =>
        i > frame.statement &&
        i < equals &&
        typeOf(token) === ':' &&
        (typeOf(tokens[i - 1]) === ')' || i === frame.statement + 2),
    );
    const typed = colon > 0 ? dimensionOf(scene.typed(textOf(caret, colon + 1, equals), entity)) : null;
    return typed ?? known(project, entity, tokens[frame.statement + 1]?.image ?? '');
  }
  const name = tokens[equals - 1]?.image ?? '';
  return (
    fieldDimension(frame.keyword, name) ??
    known(project, entity, name) ??
    given(scene, entity, name) ??
    ofSiblings(project, frame.keyword, entity, name)
  );
}

export function fieldDimension(kind: string, name: string): Expected | null {
  const type = BLOCKS.get(kind)?.fields[name]?.type;
  if (type === 'temperature point') return { dimension: parseDimension('temperature')!, point: true };
  const dimension = type === undefined ? undefined : parseDimension(type);
  return dimension ? { dimension, point: false } : null;
}

function known(project: Project, entity: Entity, name: string): Expected | null {
  const item = entity.values.get(name);
  // A number whose unit is still to come says nothing.
  if (!item || item.value.kind === 'missing' || (item.value.kind === 'number' && item.value.unitText === null))
    return null;
  return dimensionOf(project.view.evaluation.valueOf(entity, name));
}

/** What a part's kind says of a value that it asks for. */
function given(scene: Scene, entity: Entity, name: string): Expected | null {
  const parameter = entity.base && declared(entity.base, 'kind').given.find(candidate => candidate.name === name);
  return parameter
    ? dimensionOf(
        scene.elaborator(entity.base!.declaration.title ?? NO_ITEM, entity.base!).typed(parameter.type, parameter.id),
      )
    : null;
}

const NO_ITEM = {
  kind: 'text' as const,
  name: '',
  hash: '',
  spans: [0, 0],
  placement: { file: '', start: 0 },
  segments: [],
};
const MOST_SIBLINGS = 50;

/** What others of the kind have under the same name. */
function ofSiblings(project: Project, kind: string, entity: Entity, name: string): Expected | null {
  let looked = 0;
  for (const sibling of project.namespace.entitiesOf(kind)) {
    if (sibling === entity || !sibling.values.has(name)) continue;
    const found = known(project, sibling, name);
    if (found) return found;
    if (++looked > MOST_SIBLINGS) break;
  }
  return null;
}

/** The dimension of the argument that the caret is at. */
export function ofArgument(scene: Scene, call: OpenCall): Expected | null {
  const { value } = call;
  if (value?.kind === 'formula') {
    const { parameters: list } = value.item;
    const parameter = call.argumentName
      ? list?.find(candidate => candidate.name === call.argumentName)
      : list?.[call.argument];
    return parameter
      ? dimensionOf(scene.elaborator(value.item, value.scope).typed(parameter.type, parameter.id))
      : null;
  }
  if (value?.kind === 'table') {
    const input = call.argumentName
      ? value.inputs.find(candidate => candidate.name === call.argumentName)
      : value.inputs[call.argument];
    return input && !input.text ? input : null;
  }
  return null;
}
