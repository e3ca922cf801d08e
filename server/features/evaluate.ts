/** Values of text that is not part of the project, seen from a place in it. */
import { Budget, isTooMuch } from '../base/index.js';
import { Builder } from '../engine/values/builder.js';
import { Elaborator, MOST_STEPS_ASKED } from '../engine/elaboration/elaborate.js';
import type { Environment } from '../engine/elaboration/elaboration.js';
import { isPoison, type Value } from '../engine/values/value.js';
import type { Item, ValueItem } from '../model/declaration.js';
import { walk, type Binder, type Expression } from '../model/expression.js';
import { expressionsOf, itemsOf } from '../findings/text-search.js';
import { lowerPiece } from '../model/lower.js';
import type { Entity } from '../model/namespace.js';
import type { Project } from '../project/project.js';
import { parseSound } from '../syntax/parser.js';
import type { Dimension } from '../units/index.js';

/** Callers of a formula that are looked at to learn what its parameters are. */
const MOST_CALLERS = 40;
const DEEPEST = 4;

/** Ends a sweep once its first row is known; one for all, since to make one takes as long as many a look. */
class FirstRow extends Error {}
const FIRST_ROW = new FirstRow();

/** One look at the project: numbers made on the way live in one builder and are forgotten with it. */
export class Scene {
  private readonly builder: Builder;

  constructor(private readonly project: Project) {
    this.builder = new Builder(project.view.evaluation.arena);
  }

  elaborator(item: Item, entity: Entity): Elaborator {
    const budget = new Budget(MOST_STEPS_ASKED);
    return new Elaborator(this.project.view.evaluation.host, this.builder, item, entity, budget);
  }

  /** Binders of a check in its first row; parameters of a formula as its type says, or as a caller gives them. */
  environment(entity: Entity, item: Item, depth = 0): Environment | null {
    if (item.kind === 'check') return this.sweep(item.binders, item, entity, null);
    if (!('parameters' in item) || !item.parameters) return null;
    const elaborator = this.elaborator(item, entity);
    let given: readonly Value[] | null | undefined;
    return item.parameters.reduce<Environment | null>((parent, parameter, i) => {
      let value = elaborator.typed(parameter.type, parameter.id);
      if (isPoison(value) && !parameter.type && depth < DEEPEST)
        value = (given ??= this.given(entity, item, depth + 1))?.[i] ?? value;
      return { name: parameter.name, value, parent };
    }, null);
  }

  /** The first row of a sweep. */
  sweep(binders: readonly Binder[], item: Item, entity: Entity, env: Environment | null): Environment | null {
    let found = env;
    try {
      this.elaborator(item, entity).sweep(
        binders,
        env,
        inner => {
          found = inner;
          throw FIRST_ROW;
        },
        inner => void (found = inner),
      );
    } catch (error) {
      if (!(error instanceof FirstRow)) throw error;
    }
    return found;
  }

  /** What some caller gives for the parameters of a formula. */
  private given(entity: Entity, formula: ValueItem, depth: number): readonly Value[] | null {
    let looked = 0;
    const visit = (at: Entity): readonly Value[] | null => {
      for (const item of itemsOf(at.declaration)) {
        if (item === formula) continue;
        const call = callOf(item, formula.name);
        if (!call) continue;
        if (++looked > MOST_CALLERS) return null;
        const elaborator = this.elaborator(item, at);
        const env = this.environment(at, item, depth);
        const values = formula.parameters!.map((parameter, i) => {
          const argument = call.arguments.find(candidate => candidate.name === parameter.name) ?? call.arguments[i];
          return argument ? elaborator.expression(argument.value, env) : null;
        });
        if (values.every(value => value !== null && !isPoison(value))) return values as Value[];
      }
      for (const child of at.members.values()) {
        const found = looked > MOST_CALLERS ? null : visit(child);
        if (found) return found;
      }
      return null;
    };
    return visit(entity);
  }

  /** The value of an expression given as text. */
  value(text: string, entity: Entity, env: Environment | null): Value | null {
    const item = expressionItem(text);
    return item ? this.elaborator(item, entity).expression(item.value, env) : null;
  }

  /** Adds what `for name in domain` binds. */
  bind(name: string, domain: string, entity: Entity, env: Environment | null): Environment | null {
    const item = lower(`check for ${name} in ${domain}: true`)?.checks[0];
    return item ? this.sweep(item.binders, item, entity, env) : env;
  }

  /** The value of a type written out, `M: torque`. */
  typed(type: string, entity: Entity): Value | null {
    const item = lower(`let f(x: ${type}) = x`)?.values[0];
    const parameter = item?.parameters?.[0];
    return item && parameter ? this.elaborator(item, entity).typed(parameter.type, parameter.id) : null;
  }
}

/** Runs `work` outside of every cell; what can't be elaborated has no value. */
export function inScene<T>(project: Project, work: (scene: Scene) => T): T | null {
  return project.view.evaluation.outside(() => {
    try {
      return work(new Scene(project));
    } catch (error) {
      if (error instanceof FirstRow || isTooMuch(error)) return null;
      throw error;
    }
  });
}

function expressionItem(text: string): ValueItem | null {
  const item = lower(`let x = ${text}`)?.values[0];
  return item && item.value.kind !== 'missing' ? item : null;
}

function lower(text: string): ReturnType<typeof lowerPiece>['root'] | null {
  const parsed = parseSound(text);
  return parsed && lowerPiece(parsed, text, { file: '', start: 0 }).root;
}

function callOf(item: Item, name: string): (Expression & { kind: 'call' }) | null {
  let found: (Expression & { kind: 'call' }) | null = null;
  for (const root of expressionsOf(item)) {
    walk(root, node => {
      if (!found && node.kind === 'call' && node.callee.kind === 'name' && node.callee.name === name) found = node;
    });
  }
  return found;
}

/** The dimension of a number, or of what a table gives. */
export function dimensionOf(
  value: Value | null | undefined,
): { readonly dimension: Dimension; readonly point: boolean } | null {
  switch (value?.kind) {
    case 'quantity':
      return value;
    case 'table':
      return value.output;
    case 'range':
      return value.low;
    case 'any-direction':
      return value.magnitude;
    default:
      return null;
  }
}
