/** The loads that a name stands for in all rows of a sweep, and over all calls of a formula. */
import type { LoadTerm, Value } from '../engine/values/value.js';
import { expressionsOf, itemsOf } from '../findings/text-search.js';
import type { Declaration, Item, LoweredPiece, ValueItem } from '../model/declaration.js';
import { walk, type Binder, type Call, type Expression } from '../model/expression.js';
import { keyOf, type Entity, type Namespace } from '../model/namespace.js';
import type { Project } from '../project/project.js';
import { traced } from './resolve.js';
import { OWN_VALUE } from '../engine/evaluation/cell-key.js';

interface Caller {
  readonly entity: Entity;
  readonly item: Item;
  readonly call: Call;
}
type Values = ReadonlyMap<number, Value>;

const kept = new WeakMap<Project, { readonly revision: number; readonly loads: SweptLoads }>();

/** What is known of the sweeps of a project as it is now. */
export function sweptLoads(project: Project): SweptLoads {
  const known = kept.get(project);
  if (known?.revision === project.revision) return known.loads;
  const loads = new SweptLoads(project);
  kept.set(project, { revision: project.revision, loads });
  return loads;
}

class SweptLoads {
  private readonly bound = new Map<Item, Map<string, ReadonlySet<Entity>>>();
  private readonly values = new Map<Item, Values | null>();
  private readonly callers = new Map<ValueItem, readonly Caller[]>();
  private readonly calledByPath = new Map<string, ReadonlyMap<ValueItem, readonly Caller[]>>();
  private places: Places | null = null;

  constructor(private readonly project: Project) {}

  /**
   * The loads that an expression of an item stands for; `values`: of its nodes in some row. Empty where it is no load.
   */
  in(entity: Entity, item: Item, expression: Expression, values: Values): readonly Entity[] {
    const value = values.get(expression.id);
    if (value && value.kind !== 'poison' && value.kind !== 'load' && !isLoad(value)) return NONE;
    return [...this.named(entity, item, expression, values)];
  }

  private named(entity: Entity, item: Item, expression: Expression, values: Values): Set<Entity> {
    const found = new Set<Entity>();
    walk(expression, node => {
      if (node.kind === 'name') for (const load of this.boundTo(entity, item, node.name)) found.add(load);
    });
    this.add(found, values.get(expression.id));
    return found;
  }

  private add(found: Set<Entity>, value: Value | undefined): void {
    if (value?.kind === 'load') addTerm(found, value.term);
    else if (value?.kind === 'list') for (const inner of value.items) this.add(found, inner);
    else if (value?.kind === 'entity' && value.entity.kind === 'load') found.add(value.entity);
    else if (value?.kind === 'entity' && value.entity.kind === 'case')
      this.add(found, this.project.view.evaluation.resultOf(value.entity, OWN_VALUE));
  }

  /** What a binder or a parameter of an item stands for. */
  private boundTo(entity: Entity, item: Item, name: string): ReadonlySet<Entity> {
    let names = this.bound.get(item);
    if (!names) this.bound.set(item, (names = new Map()));
    const known = names.get(name);
    if (known) return known;
    const found = new Set<Entity>();
    names.set(name, found);
    const values = this.valuesOf(entity, item);
    for (const binder of bindersOf(item))
      if (binder.name === name && values)
        for (const load of this.named(entity, item, binder.domain, values)) found.add(load);
    const parameter =
      'parameters' in item && item.parameters ? item.parameters.findIndex(candidate => candidate.name === name) : -1;
    if (parameter >= 0)
      for (const caller of this.callersOf(entity, item as ValueItem)) this.addGiven(found, caller, name, parameter);
    return found;
  }

  private addGiven(found: Set<Entity>, { entity, item, call }: Caller, name: string, at: number): void {
    const given = call.arguments.find(argument => argument.name === name) ?? call.arguments[at];
    const values = given && this.valuesOf(entity, item);
    if (values) for (const load of this.named(entity, item, given.value, values)) found.add(load);
  }

  private callersOf(owner: Entity, formula: ValueItem): readonly Caller[] {
    const known = this.callers.get(formula);
    if (known) return known;
    const { all, below } = (this.places ??= placesIn(this.project));
    const near = owner.kind === 'file' ? all : (below.get(outermost(owner.key)) ?? []);
    const byName = near
      .flatMap(piece => this.callersAt(callsIn(piece, this.project.namespace).byName.get(formula.name)))
      .filter(caller => this.calledBy(caller) === formula);
    const found = [...byName, ...(this.byPath(formula.name).get(formula) ?? [])];
    this.callers.set(formula, found);
    return found;
  }

  /** Calls such as `Longeron.P(L)`, which may stand anywhere, by what they call. */
  private byPath(name: string): ReadonlyMap<ValueItem, readonly Caller[]> {
    const known = this.calledByPath.get(name);
    if (known) return known;
    const found = new Map<ValueItem, Caller[]>();
    this.calledByPath.set(name, found);
    for (const piece of this.places!.all)
      for (const caller of this.callersAt(callsIn(piece, this.project.namespace).byPath.get(name))) {
        const formula = this.calledBy(caller);
        const callers = formula && found.get(formula);
        if (callers) callers.push(caller);
        else if (formula) found.set(formula, [caller]);
      }
    return found;
  }

  private callersAt(sites: readonly Site[] = []): Caller[] {
    const { namespace } = this.project;
    return sites.flatMap(({ key, item, call }) => {
      const entity = namespace.entity(key);
      return entity ? [{ entity, item, call }] : [];
    });
  }

  private calledBy({ entity, item, call: { callee } }: Caller): ValueItem | null {
    if (callee.kind === 'name') return valueSeenFrom(entity, callee.name);
    const value = this.valuesOf(entity, item)?.get(callee.id);
    return value?.kind === 'formula' ? value.item : null;
  }

  /** What the expressions of an item come to, found once as long as nothing changes. */
  valuesOf(entity: Entity, item: Item): Values | null {
    const known = this.values.get(item);
    if (known !== undefined) return known;
    const values = traced(this.project, entity, item);
    this.values.set(item, values);
    return values;
  }
}

const NONE: readonly Entity[] = [];

function valueSeenFrom(entity: Entity, name: string): ValueItem | null {
  for (let at: Entity | null = entity; at; at = at.parent) {
    const item = at.values.get(name);
    if (item || at.members.has(name)) return item ?? null;
  }
  return null;
}

function isLoad(value: Value): boolean {
  return value.kind === 'entity' && (value.entity.kind === 'load' || value.entity.kind === 'case');
}

function addTerm(found: Set<Entity>, term: LoadTerm): void {
  if (term.kind === 'single') found.add(term.entity);
  else for (const inner of term.terms) addTerm(found, inner);
}

function bindersOf(item: Item): Binder[] {
  const binders = item.kind === 'check' ? [...item.binders] : [];
  for (const root of expressionsOf(item))
    walk(root, node => {
      if (node.kind === 'call') for (const argument of node.arguments) binders.push(...argument.binders);
    });
  return binders;
}

/** The pieces of a project as calls are looked for in them. */
interface Places {
  readonly all: readonly LoweredPiece[];
  /** By the outermost block whose names they see, where they stand or are put (`part X in Bus`). */
  readonly below: ReadonlyMap<string, readonly LoweredPiece[]>;
}

function placesIn({ files, namespace }: Project): Places {
  const all = files.flatMap(file => namespace.piecesOf(file));
  const below = new Map<string, LoweredPiece[]>();
  for (const piece of all)
    for (const child of piece.root.children) {
      const key = namespace.prefixOf(piece.root.placement.file) + keyOf(child);
      for (let at = namespace.entities.get(key) ?? null; at && at.kind !== 'file'; at = at.parent) {
        const top = outermost(at.key);
        const pieces = below.get(top);
        if (!pieces) below.set(top, [piece]);
        else if (pieces.at(-1) !== piece) pieces.push(piece);
      }
    }
  return { all, below };
}

function outermost(key: string): string {
  const dot = key.indexOf('.');
  return dot < 0 ? key : key.slice(0, dot);
}

interface Site {
  readonly key: string;
  readonly item: Item;
  readonly call: Call;
}
/** By the name of what is called. */
interface Calls {
  readonly byName: ReadonlyMap<string, readonly Site[]>;
  readonly byPath: ReadonlyMap<string, readonly Site[]>;
}

/** A piece stays the same object while its text does, so that an edit costs one of them. */
const callsOfPieces = new WeakMap<LoweredPiece, Calls>();

/** The calls in a piece, each with the key of the block it stands in. */
function callsIn(piece: LoweredPiece, namespace: Namespace): Calls {
  const known = callsOfPieces.get(piece);
  if (known) return known;
  const [byName, byPath] = [new Map<string, Site[]>(), new Map<string, Site[]>()];
  const visit = (declaration: Declaration, key: string): void => {
    for (const item of itemsOf(declaration)) {
      for (const root of expressionsOf(item))
        walk(root, node => {
          if (node.kind !== 'call' || (node.callee.kind !== 'name' && node.callee.kind !== 'member')) return;
          const calls = node.callee.kind === 'name' ? byName : byPath;
          const sites = calls.get(node.callee.name);
          if (sites) sites.push({ key, item, call: node });
          else calls.set(node.callee.name, [{ key, item, call: node }]);
        });
    }
    for (const child of declaration.children) visit(child, key === '' ? keyOf(child) : `${key}.${keyOf(child)}`);
  };
  visit(piece.root, namespace.topOf(piece.root.placement.file).key);
  const calls = { byName, byPath };
  callsOfPieces.set(piece, calls);
  return calls;
}
