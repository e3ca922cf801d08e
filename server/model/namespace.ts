/**
 * The names of one project: a tree of entities made of the declarations of all its files, kept up piece by piece. An
 * entity keeps its identity over edits, so that what was evaluated for it can stay.
 */
import { BLOCKS } from '../language/index.js';
import { stronglyConnected } from '../base/index.js';
import { onBlocks, onName, ON_ANY_NAME, ON_ANY_VALUE, ON_SLOTS, type Dependency } from './dependency.js';
import type { CheckItem, Declaration, LoweredPiece, Parameter, Placement, TextItem, ValueItem } from './declaration.js';
import type { Reference } from './expression.js';
import { blockOf, declared, NOTHING_SAID, saidIn } from './statements.js';

const NONE: readonly never[] = [];

/** Kinds may hold instances of kinds, which grows by powers: what one part takes over of its kind, at most. */
const MOST_REPEATED = 2000;

/** A declaration in its place in the project: parents, members, and for an instance of a kind what it inherits. */
export class Entity {
  declaration!: Declaration;
  parent: Entity | null = null;
  /** The kind that a part is an instance of. */
  base: Entity | null = null;
  /** Set on what an instance inherits: the entity of the kind that it repeats. */
  template: Entity | null = null;
  values: ReadonlyMap<string, ValueItem> = NO_VALUES;
  members: ReadonlyMap<string, Entity> = NO_MEMBERS;
  /** Every declaration with this key, in file order; the first counts, the others are duplicates. */
  contenders: readonly Declaration[] = NONE;

  constructor(
    readonly key: string,
    readonly kind: string,
    readonly name: string,
  ) {}

  /** `Bus.BatteryTray`. */
  get path(): string {
    return this.parent && this.parent.kind !== 'file' ? `${this.parent.path}.${this.name}` : this.name;
  }

  /** How people cite it: a requirement of an instance carries the instance, `JNT-SEP/J12`. */
  get label(): string {
    return this.template && this.kind === 'requirement' ? `${this.name}/${this.instance()?.name ?? ''}` : this.name;
  }

  get title(): TextItem | null {
    return this.declaration.title;
  }

  /** Where it is declared now, so that a place on an entity holds over edits. */
  get spans(): readonly number[] {
    return this.declaration.spans;
  }

  get placement(): Placement {
    return this.declaration.placement;
  }

  get checks(): readonly CheckItem[] {
    return this.declaration.checks;
  }

  /** The nearest enclosing part (itself when it is one). */
  get part(): Entity | null {
    return this.kind === 'part' ? this : (this.parent?.part ?? null);
  }

  /** The instance of a kind that this belongs to. */
  instance(): Entity | null {
    return this.base ? this : (this.parent?.instance() ?? null);
  }

  hold(member: Entity): void {
    if (this.members === NO_MEMBERS) this.members = new Map();
    (this.members as Map<string, Entity>).set(member.name, member);
  }

  release(member: Entity): void {
    if (this.members !== NO_MEMBERS) (this.members as Map<string, Entity>).delete(member.name);
  }

  /** The entities inside, own and inherited, in the order in which they stand. */
  children(kind?: string): Entity[] {
    const all = [...this.members.values()].sort(byPlace);
    return kind ? all.filter(child => child.kind === kind) : all;
  }
}

/** Most entities hold no others, and many no values. */
const NO_VALUES: ReadonlyMap<string, ValueItem> = new Map();
const NO_MEMBERS: ReadonlyMap<string, Entity> = new Map();

/**
 * Blocks that there are many of, with the same names for their values: a value that one gains or loses concerns few.
 */
export function isConfined(entity: Entity): boolean {
  return entity.kind === 'part' || entity.kind === 'requirement';
}

/** What an update touched: the engine re-elaborates what depends on it. */
export interface NamespaceChange {
  /** What now means something else, or nothing, or something for the first time. */
  readonly dependencies: ReadonlySet<Dependency>;
  /**
   * The same for values that parts and requirements gained or lost, with these: they concern who looks from inside
   * them or asks them.
   */
  readonly fields: ReadonlyMap<Dependency, ReadonlySet<Entity>>;
  /** Formulas that are written anew, as they were before. */
  readonly formulas: ReadonlySet<ValueItem>;
  readonly removed: readonly Entity[];
  readonly added: readonly Entity[];
  readonly touched: ReadonlySet<Entity>;
  /** Whether values at the top of files moved. */
  readonly rootTouched: boolean;
}

/** A change while it is being found out. */
interface GrowingChange extends NamespaceChange {
  readonly removed: Entity[];
  readonly added: Entity[];
  readonly touched: Set<Entity>;
}

interface FileState {
  readonly pieces: readonly LoweredPiece[];
}

/** A library whose names are to be had, and what it is called itself. */
export interface UsedLibrary {
  readonly name: string | null;
  readonly key: string;
}

/** Files that are a library to a project: what they declare stands in a place of its own. */
export interface LibraryPlace {
  /** As made by `libraryKey`. */
  readonly key: string;
  readonly name: string;
  readonly files: readonly string[];
  /** What its own files use; the key '' is the project itself. */
  readonly uses: readonly UsedLibrary[];
}

/** The top of all files of the project, or of those of a library. */
interface Home {
  /** Holds what is declared at the top. */
  readonly entity: Entity;
  /** What the keys of its entities begin with. */
  readonly prefix: string;
  readonly values: Map<string, ValueItem>;
  /** Values at the top of files: all contenders by name. */
  readonly contenders: Map<string, { item: ValueItem; declaration: Declaration }[]>;
  /** Names at the top whose contenders an update moved. */
  readonly touched: Set<string>;
  readonly uses: Map<Entity, readonly string[]>;
}

/** What no name that can be written begins with, and the only `>` in the keys of what the library declares. */
export function libraryKey(path: string): string {
  return `<use ${path.replace(/[%.#>]/g, character => `%${character.charCodeAt(0).toString(16)}`)}>`;
}

/**
 * Whether a library keeps a block to itself: how it is verified, and what it is made into. All that it declares inside
 * its kinds comes in with them.
 */
const staysInLibrary = (kind: string): boolean => BLOCKS.get(kind)?.staysInLibrary === true;

export class Namespace {
  readonly root: Entity;
  private readonly own: Home;
  /** Libraries by their key. */
  private readonly libraryHomes = new Map<string, Home>();
  private readonly homeOfFile = new Map<string, Home>();
  private readonly homeOfEntity = new Map<Entity, Home>();
  readonly entities = new Map<string, Entity>();
  /** Entities by name; a name that one entity has holds it without a set. */
  private readonly byName = new Map<string, Entity | Set<Entity>>();
  private readonly files = new Map<string, FileState>();
  private readonly kinds = new Map<string, Set<Entity>>();
  readonly rootDeclarations = new Set<Declaration>();
  private stamp = 0;

  constructor(libraries: readonly LibraryPlace[] = [], uses: readonly UsedLibrary[] = []) {
    this.own = this.makeHome(new Entity('', 'file', ''), '');
    this.root = this.own.entity;
    for (const { key, name, files } of libraries) {
      const home = this.makeHome(new Entity(key, 'library', name), `${key}.`, files[0]);
      this.libraryHomes.set(key, home);
      for (const file of files) this.homeOfFile.set(file, home);
    }
    this.tops = [...this.homeOfEntity.keys()];
    this.note(this.own, uses);
    for (const { key, uses: others } of libraries) this.note(this.libraryHomes.get(key)!, others);
  }

  private makeHome(entity: Entity, prefix: string, file = ''): Home {
    const values = new Map<string, ValueItem>();
    entity.declaration = {
      ...EMPTY,
      keyword: entity.kind,
      name: entity.name,
      placement: { file, start: 0 },
    };
    entity.values = values;
    const home: Home = { entity, prefix, values, contenders: new Map(), touched: new Set(), uses: new Map() };
    this.homeOfEntity.set(entity, home);
    return home;
  }

  private note(home: Home, uses: readonly UsedLibrary[]): void {
    for (const { key, name } of uses) {
      const used = key === '' ? this.own : this.libraryHomes.get(key);
      if (!used || used === home) continue;
      const names = home.uses.get(used.entity) ?? [];
      home.uses.set(used.entity, name === null || names.includes(name) ? names : [...names, name]);
    }
  }

  // ---- libraries ----------------------------------------------------------------------------------------------------

  /** What holds the tops of files: the root, and each library. */
  readonly tops: readonly Entity[];

  /** Every name that an entity has, wherever it stands. */
  get entitiesByName(): ReadonlyMap<string, unknown> {
    return this.byName;
  }

  /** The libraries, each as what holds all that its files declare at their top. */
  get libraries(): readonly Entity[] {
    return [...this.libraryHomes.values()].map(home => home.entity);
  }

  /** What holds the top of a file: the root, or a library. */
  topOf(file: string): Entity {
    return (this.homeOfFile.get(file) ?? this.own).entity;
  }

  /** By its key; of a top as well. */
  entity(key: string): Entity | undefined {
    return key === '' ? this.root : (this.libraryHomes.get(key)?.entity ?? this.entities.get(key));
  }

  /** What the keys of the entities of a file begin with. */
  prefixOf(file: string): string {
    return (this.homeOfFile.get(file) ?? this.own).prefix;
  }

  /** What holds the top of the files that an entity stands in. */
  topAbove(entity: Entity): Entity {
    if (this.libraryHomes.size === 0) return this.root;
    const { key } = entity;
    return this.libraryHomes.get(key.slice(0, key.indexOf('>') + 1))?.entity ?? this.root;
  }

  isOfLibrary(entity: Entity): boolean {
    return this.libraryHomes.size > 0 && this.topAbove(entity) !== this.root;
  }

  /** Libraries that a name written below `top` may stand for. */
  librariesNamed(name: string, top: Entity): Entity[] {
    const uses = this.homeOfEntity.get(top)?.uses;
    return uses ? [...uses].filter(([, names]) => names.includes(name)).map(([library]) => library) : [];
  }

  /** What holds the tops of the libraries that the files below `top` use. */
  usedFrom(top: Entity): readonly Entity[] {
    return [...(this.homeOfEntity.get(top)?.uses.keys() ?? [])];
  }

  /**
   * Entities by name as they are seen from below `top`: its own, else those of the libraries that are used there, and
   * of no others.
   */
  namedFrom(name: string, top: Entity): Iterable<Entity> {
    const all = this.named(name);
    if (this.libraryHomes.size === 0) return all;
    const own = [...all].filter(entity => this.topAbove(entity) === top);
    if (own.length > 0) return own;
    const used = this.usedFrom(top);
    return [...all].filter(
      entity => used.includes(this.topAbove(entity)) && (entity.parent !== this.root || !staysInLibrary(entity.kind)),
    );
  }

  /** Grows with each structural change. */
  get version(): number {
    return this.stamp;
  }

  /** How many parts are of each kind. */
  private readonly instances = new Map<Entity, number>();

  /** Whether a part is of a kind. */
  hasInstances(kind: Entity): boolean {
    return this.instances.has(kind);
  }

  /** Everything of one kind, in file order. Who asked within a cell is told of another order as of another member. */
  ofKind(kind: string): readonly Entity[] {
    let order = this.orders.get(kind);
    if (!order) this.orders.set(kind, (order = new Order([...(this.kinds.get(kind) ?? [])])));
    return order.entities;
  }

  /** Orders that were asked for and still hold. */
  private readonly orders = new Map<string, Order>();

  /** Forgets orders that hold no longer. */
  private checkOrders(touched: ReadonlySet<Entity>, dependencies: Set<Dependency>): void {
    for (const kind of this.orders.keys()) if (dependencies.has(onBlocks(kind))) this.orders.delete(kind);
    for (const entity of touched) {
      if (this.orders.get(entity.kind)?.holds(entity) ?? true) continue;
      this.orders.delete(entity.kind);
      dependencies.add(onBlocks(entity.kind));
    }
  }

  /** The same in no order, for a look that may end early. */
  entitiesOf(kind: string): Iterable<Entity> {
    return this.kinds.get(kind) ?? NO_ENTITIES;
  }

  named(name: string): ReadonlySet<Entity> {
    const found = this.byName.get(name);
    return found instanceof Entity ? new Set([found]) : (found ?? NO_ENTITIES);
  }

  /** Requirement, evidence, lot, … with a label, in file order; instances of kinds by `LABEL/instance`. */
  labelled(label: string): Entity[] {
    const slash = label.indexOf('/');
    const found = [...this.named(slash < 0 ? label : label.slice(0, slash))].filter(entity =>
      slash < 0 ? !entity.template : entity.template && entity.instance()?.name === label.slice(slash + 1),
    );
    const own = this.libraryHomes.size > 0 ? found.filter(entity => !this.isOfLibrary(entity)) : found;
    return (own.length > 0 ? own : found).sort(byPlace);
  }

  /** Values at the top of the files of the project, and of those of each library: all that have one name together. */
  *rootContenders(): Iterable<readonly { item: ValueItem; declaration: Declaration }[]> {
    for (const home of this.homeOfEntity.values()) yield* home.contenders.values();
  }

  get paths(): readonly string[] {
    return [...this.files.keys()];
  }

  piecesOf(file: string): readonly LoweredPiece[] {
    return this.files.get(file)?.pieces ?? [];
  }

  /** Replaces the pieces of some files. Pieces that are the same objects as before cost nothing. */
  update(changes: ReadonlyMap<string, readonly LoweredPiece[] | null>): NamespaceChange {
    const touched = new Set<Entity>();
    const dependencies = new Set<Dependency>();
    this.formulas = new Set();
    this.fields = new Map();
    const before = new Map<Entity, Declaration>();
    const removed: LoweredPiece[] = [];
    const added: LoweredPiece[] = [];
    for (const [file, pieces] of changes) {
      const old = this.files.get(file)?.pieces ?? [];
      const next = pieces ?? [];
      const kept = new Set(next);
      const places = new Map(old.map((piece, i) => [piece, i]));
      for (const piece of old) if (!kept.has(piece)) removed.push(piece);
      let last = -1;
      for (const piece of next) {
        const place = places.get(piece);
        // What stands before something else than it did may be the first of its name now.
        if (place !== undefined && place < last) removed.push(piece);
        if (place === undefined || place < last) added.push(piece);
        else last = place;
      }
      if (pieces) this.files.set(file, { pieces });
      else this.files.delete(file);
    }
    if (removed.length === 0 && added.length === 0)
      return {
        dependencies,
        fields: this.fields,
        formulas: this.formulas,
        removed: [],
        added: [],
        touched,
        rootTouched: false,
      };
    const gone = new Set<Declaration>();
    for (const { root } of removed) this.withdraw(root, this.prefixOf(root.placement.file), touched, before, gone);
    this.dropContenders(touched, gone);
    const entered = new Set<Entity>();
    for (const { root } of added) this.enter(root, this.prefixOf(root.placement.file), touched, before, entered);
    // A check outside of all requirements belongs to the file it stands in.
    const rootTouched =
      [...this.homeOfEntity.values()].some(home => home.touched.size > 0) ||
      [...removed, ...added].some(piece => piece.root.kind === 'file' && piece.root.checks.length > 0);
    this.refreshRootValues(dependencies);
    const change = this.settle(touched, before, dependencies, rootTouched);
    this.link(touched, dependencies, change);
    this.touchFirstOrLast(touched);
    this.checkOrders(touched, dependencies);
    if (dependencies.size > 0 || this.fields.size > 0) dependencies.add(ON_ANY_NAME);
    this.stamp++;
    return change;
  }

  // ---- piece by piece -----------------------------------------------------------------------------------------------

  private withdraw(
    declaration: Declaration,
    prefix: string,
    touched: Set<Entity>,
    before: Map<Entity, Declaration>,
    gone: Set<Declaration>,
  ): void {
    gone.add(declaration);
    if (declaration.kind === 'file') {
      this.rootDeclarations.delete(declaration);
      const { touched: names } = this.homeOf(declaration);
      for (const item of declaration.values) names.add(item.name);
    }
    for (const child of this.entering(declaration)) {
      const key = prefix + keyOf(child);
      const entity = this.entities.get(key);
      if (!entity) continue;
      if (!before.has(entity)) before.set(entity, entity.declaration);
      touched.add(entity);
      this.withdraw(child, `${key}.`, touched, before, gone);
    }
  }

  /** All at once: thousands may contend for one name. */
  private dropContenders(touched: ReadonlySet<Entity>, gone: ReadonlySet<Declaration>): void {
    for (const entity of touched) entity.contenders = entity.contenders.filter(contender => !gone.has(contender));
    for (const home of this.homeOfEntity.values())
      for (const name of home.touched) {
        const contenders = home.contenders.get(name)?.filter(contender => !gone.has(contender.declaration)) ?? [];
        if (contenders.length > 0) home.contenders.set(name, contenders);
        else home.contenders.delete(name);
      }
  }

  private homeOf({ placement }: Declaration): Home {
    return this.homeOfFile.get(placement.file) ?? this.own;
  }

  private enter(
    declaration: Declaration,
    prefix: string,
    touched: Set<Entity>,
    before: Map<Entity, Declaration>,
    entered: Set<Entity>,
  ): void {
    if (declaration.kind === 'file') {
      this.rootDeclarations.add(declaration);
      const home = this.homeOf(declaration);
      for (const item of declaration.values) {
        const contenders = home.contenders.get(item.name);
        if (contenders) contenders.push({ item, declaration });
        else home.contenders.set(item.name, [{ item, declaration }]);
        home.touched.add(item.name);
      }
    }
    for (const child of this.entering(declaration)) {
      const key = prefix + keyOf(child);
      let entity = this.entities.get(key);
      // What a kind repeated here until now is written here itself: another thing, though it has the name.
      if (entity?.template) {
        entity.contenders = NONE;
        touched.add(entity);
        entity = undefined;
      }
      // What is of another kind now is another thing, though it has the name.
      if (!entity || (entity.contenders.length === 0 && entity.kind !== child.keyword)) {
        entity = new Entity(key, child.keyword, child.name);
        this.entities.set(key, entity);
      } else if (!before.has(entity) && entity.contenders.length > 0) {
        before.set(entity, entity.declaration);
      }
      if (entered.has(entity)) (entity.contenders as Declaration[]).push(child);
      else entity.contenders = [...entity.contenders, child];
      entered.add(entity);
      touched.add(entity);
      this.enter(child, `${key}.`, touched, before, entered);
    }
  }

  /** What a declaration holds that has names in the project. */
  private entering(declaration: Declaration): readonly Declaration[] {
    return declaration.kind === 'file' && this.homeOf(declaration) !== this.own
      ? declaration.children.filter(child => !staysInLibrary(child.keyword))
      : declaration.children;
  }

  private refreshRootValues(dependencies: Set<Dependency>): void {
    for (const { contenders: all, values, touched } of this.homeOfEntity.values()) {
      for (const name of touched) {
        const contenders = all.get(name) ?? [];
        if (contenders.length > 1) contenders.sort((a, b) => comparePlace(a.item, b.item));
        const first = contenders[0]?.item;
        const had = values.get(name);
        if (first) values.set(name, first);
        else values.delete(name);
        this.diffName(name, had, first, moved => dependencies.add(moved));
      }
      touched.clear();
    }
  }

  private settle(
    touched: Set<Entity>,
    before: Map<Entity, Declaration>,
    dependencies: Set<Dependency>,
    rootTouched: boolean,
  ): GrowingChange {
    const removed: Entity[] = [];
    const added: Entity[] = [];
    for (const entity of touched) {
      if (entity.contenders.length > 1) entity.contenders = entity.contenders.toSorted(comparePlace);
      if (entity.contenders.length > 0 && entity.contenders[0]!.keyword !== entity.kind)
        this.replace(entity, touched, before);
      const old = before.get(entity);
      if (entity.contenders.length === 0) {
        this.forget(entity, dependencies);
        removed.push(entity);
        continue;
      }
      entity.declaration = entity.contenders[0]!;
      if (!old) {
        added.push(entity);
        this.index(entity);
        dependencies.add(onName(entity.name));
        dependencies.add(onBlocks(entity.kind));
      } else if (headOf(old) !== headOf(entity.declaration)) {
        dependencies.add(onName(entity.name));
        dependencies.add(onBlocks(entity.kind));
      }
      this.takeValues(entity, dependencies);
      const given = saidIn(entity.declaration, 'given');
      for (const parameter of given)
        if (!entity.values.has(parameter.name) && parameter.default) dependencies.add(onName(parameter.name));
      if (old && old !== entity.declaration)
        for (const { name } of movedParameters(saidIn(old, 'given'), given)) dependencies.add(onName(name));
    }
    return { dependencies, fields: this.fields, formulas: this.formulas, removed, added, touched, rootTouched };
  }

  /** The values that are written in an entity. */
  private takeValues(entity: Entity, dependencies: Set<Dependency>): void {
    const written = entity.declaration.values;
    const values = written.length > 0 ? new Map<string, ValueItem>() : (NO_VALUES as Map<string, ValueItem>);
    for (const item of written) if (!values.has(item.name)) values.set(item.name, item);
    this.diffNames(entity, values, dependencies);
    entity.values = values;
  }

  /** What is of another kind than what has its name now is another thing: that takes over what stands inside. */
  private replace(entity: Entity, touched: Set<Entity>, before: Map<Entity, Declaration>): void {
    const { key, name, contenders } = entity;
    const next = new Entity(key, contenders[0]!.keyword, name);
    next.contenders = contenders;
    entity.contenders = NONE;
    this.entities.set(key, next);
    touched.add(next);
    for (const member of entity.members.values()) {
      if (member.template || touched.has(member)) continue;
      touched.add(member);
      before.set(member, member.declaration);
    }
  }

  private diffNames(entity: Entity, next: ReadonlyMap<string, ValueItem>, dependencies: Set<Dependency>): void {
    const old = entity.values;
    const moved = isConfined(entity)
      ? (dependency: Dependency): void => void addTo(this.fields, dependency, entity)
      : (dependency: Dependency): void => void dependencies.add(dependency);
    for (const [name, item] of old) this.diffName(name, item, next.get(name), moved);
    for (const [name, item] of next) if (!old.has(name)) this.diffName(name, undefined, item, moved);
  }

  /**
   * Whoever looked the name up has to look again. But the content of a plain value travels by itself, and that of a
   * formula, and where it stands, concerns its callers alone.
   */
  private diffName(
    name: string,
    old: ValueItem | undefined,
    next: ValueItem | undefined,
    moved: (dependency: Dependency) => void,
  ): void {
    if (old === next) return;
    // A part holds what fills its slots, whatever they are called.
    if ((old?.kind === 'slot') !== (next?.kind === 'slot')) moved(ON_SLOTS);
    const formulas = old?.parameters && next?.parameters;
    if (!old !== !next) moved(ON_ANY_VALUE);
    if (!old || !next || old.kind !== next.kind || (!formulas && (old.parameters || next.parameters)))
      moved(onName(name));
    else if (formulas) this.formulas.add(old);
  }

  /** Formulas that are written anew, as they were. */
  private formulas = new Set<ValueItem>();
  private fields = new Map<Dependency, Set<Entity>>();

  private index(entity: Entity): void {
    addTo(this.kinds, entity.kind, entity);
    if (entity.kind === 'project') return;
    const named = this.byName.get(entity.name);
    if (named === undefined || named === entity) this.byName.set(entity.name, entity);
    else if (named instanceof Entity) this.byName.set(entity.name, new Set([named, entity]));
    else named.add(entity);
  }

  private forget(entity: Entity, dependencies: Set<Dependency>): void {
    if (this.entities.get(entity.key) === entity) this.entities.delete(entity.key);
    const named = this.byName.get(entity.name);
    if (named === entity) this.byName.delete(entity.name);
    else if (named instanceof Set) named.delete(entity);
    this.kinds.get(entity.kind)?.delete(entity);
    this.notRepeated.delete(entity);
    this.makeInstance(entity, null);
    dependencies.add(onName(entity.name));
    dependencies.add(onBlocks(entity.kind));
    // Who read a value of a part follows its cell, and who named the part looks again.
    if (!isConfined(entity)) for (const name of entity.values.keys()) dependencies.add(onName(name));
    if (entity.parent?.members.get(entity.name) === entity) entity.parent.release(entity);
  }

  // ---- parents, instances -------------------------------------------------------------------------------------------

  /** Puts touched entities under their parents and repeats kinds in their instances. */
  private link(touched: Set<Entity>, dependencies: Set<Dependency>, change: GrowingChange): void {
    // What is moved comes anew, behind the others.
    for (const entity of touched) {
      if (entity.contenders.length === 0) this.discardRepeated(entity, dependencies, change);
      else {
        this.place(entity, this.putInto(entity) ?? this.writtenIn(entity), dependencies, change);
        this.notRepeated.delete(entity);
      }
    }
    const kindsTouched = [...touched].some(entity => entity.kind === 'kind' || this.insideKind(entity));
    const parts = kindsTouched ? [...this.entitiesOf('part')] : [...touched];
    this.instantiateAll(parts, dependencies, change);
    const before = change.removed.length;
    const moved = this.relinkLate(touched, dependencies, change);
    const left = change.removed.slice(before);
    const kindsMoved = [...moved, ...left].some(entity => this.insideKind(entity));
    this.instantiateAll(kindsMoved ? [...this.entitiesOf('part')] : moved, dependencies, change);
  }

  /** Parts whose kinds hold them again come to nothing; the others after what their kinds hold, which they repeat. */
  private instantiateAll(parts: readonly Entity[], dependencies: Set<Dependency>, change: GrowingChange): void {
    const waiting = new Set(
      parts.filter(
        part => part.kind === 'part' && part.contenders.length > 0 && !part.template && (kindSaid(part) || part.base),
      ),
    );
    const inside = new Map<Entity, readonly Entity[]>();
    const heldBy = (part: Entity): Entity[] => this.heldByKindOf(part, inside).filter(inner => waiting.has(inner));
    for (const circle of stronglyConnected(waiting, heldBy)) {
      const isEndless = circle.length > 1 || heldBy(circle[0]!).includes(circle[0]!);
      for (const part of circle) this.instantiate(part, isEndless ? null : this.kindOf(part), dependencies, change);
      for (const part of isEndless ? circle : []) this.notRepeated.set(part, 'itself');
    }
  }

  /** Parts with a kind that are written inside the kind of a part. */
  private heldByKindOf(part: Entity, known: Map<Entity, readonly Entity[]>): readonly Entity[] {
    const kind = this.kindOf(part);
    if (!kind) return [];
    const found =
      known.get(kind) ??
      [...within(kind)].filter(inner => inner.kind === 'part' && !inner.template && (kindSaid(inner) || inner.base));
    known.set(kind, found);
    return found;
  }

  private kindOf(part: Entity): Entity | null {
    const said = kindSaid(part);
    const base = said ? this.resolvePath(said.path, part.parent ?? this.root) : null;
    return base?.kind === 'kind' ? base : null;
  }

  /**
   * Puts an entity under its parent. Under another than before it is another thing, as is all that stands inside: what
   * is seen from there, and what it is called, are others.
   */
  private place(entity: Entity, parent: Entity, dependencies: Set<Dependency>, change: GrowingChange): void {
    if (entity.parent && entity.parent !== parent) {
      this.renew(entity, parent, dependencies, change);
      return;
    }
    entity.parent = parent;
    if (parent !== this.root) parent.hold(entity);
  }

  private renew(entity: Entity, parent: Entity, dependencies: Set<Dependency>, change: GrowingChange): void {
    this.discardRepeated(entity, dependencies, change);
    const next = new Entity(entity.key, entity.kind, entity.name);
    next.declaration = entity.declaration;
    next.contenders = entity.contenders;
    this.entities.set(next.key, next);
    this.discard([entity], dependencies, change);
    this.index(next);
    this.takeValues(next, dependencies);
    change.added.push(next);
    change.touched.add(next);
    this.place(next, parent, dependencies, change);
    for (const member of [...entity.members.values()]) this.renew(member, next, dependencies, change);
  }

  /** What an entity is written in. */
  private writtenIn(entity: Entity): Entity {
    if (!entity.key.includes('.')) return this.root;
    const key = entity.key.slice(0, entity.key.length - keyOf(entity.declaration).length - 1);
    return this.entities.get(key) ?? this.libraryHomes.get(key)?.entity ?? this.root;
  }

  /** What `part X in Bus` puts a part into; null where it says nothing, or would put the part into itself. */
  putInto(entity: Entity): Entity | null {
    const target = this.targetOfIn(entity);
    const above = new Set<Entity>();
    for (let at = target; at && !above.has(at); at = this.targetOfIn(at) ?? this.writtenIn(at)) {
      if (at === entity) return null;
      above.add(at);
    }
    return target;
  }

  /** Whether a part is written to stand in itself, directly or through others. */
  standsInItself(part: Entity): boolean {
    return this.targetOfIn(part) !== null && this.putInto(part) === null;
  }

  private targetOfIn(entity: Entity): Entity | null {
    const within = entity.kind === 'part' && !entity.template ? declared(entity, 'part').in[0] : undefined;
    return within ? this.resolvePath(within.path, this.writtenIn(entity)) : null;
  }

  /** `part X in Bus` where Bus came later than X, or went. What has moved. */
  private relinkLate(
    touched: ReadonlySet<Entity>,
    dependencies: Set<Dependency>,
    change: GrowingChange,
  ): readonly Entity[] {
    if (![...touched].some(entity => entity.kind === 'part')) return [];
    const before = change.added.length;
    for (const part of [...(this.kinds.get('part') ?? [])])
      if (declared(part, 'part').in.length > 0 && !part.template && part.contenders.length > 0)
        this.place(part, this.putInto(part) ?? this.writtenIn(part), dependencies, change);
    return change.added.slice(before);
  }

  private insideKind(entity: Entity): boolean {
    for (let at = entity.parent; at; at = at.parent) if (at.kind === 'kind') return true;
    return false;
  }

  /**
   * Repeats what the kind of a part holds inside the part. What stood there before is kept as far as it is still
   * repeated.
   */
  private instantiate(part: Entity, kind: Entity | null, dependencies: Set<Dependency>, change: GrowingChange): void {
    const before = new Map<string, Entity>();
    this.detach(part, before);
    const own = new Map(part.declaration.values.map(item => [item.name, item]));
    if (kind !== part.base) dependencies.add(onName(part.name));
    this.notRepeated.delete(part);
    this.makeInstance(part, kind);
    this.room = MOST_REPEATED;
    for (const [name, item] of part.base?.values ?? []) if (!own.has(name)) own.set(name, item);
    this.diffNames(part, own, dependencies);
    part.values = own;
    change.touched.add(part);
    for (const child of part.base?.members.values() ?? []) this.repeat(child, part, dependencies, change, before);
    if (this.room < 0) this.notRepeated.set(part, `more than ${MOST_REPEATED} blocks`);
    this.discard(before.values(), dependencies, change);
  }

  private makeInstance(part: Entity, kind: Entity | null): void {
    if (part.base === kind) return;
    if (part.base) this.count(part.base, -1);
    part.base = kind;
    if (kind) this.count(kind, 1);
  }

  private count(kind: Entity, more: 1 | -1): void {
    const before = this.instances.get(kind) ?? 0;
    if (before + more > 0) this.instances.set(kind, before + more);
    else this.instances.delete(kind);
    if (before === 0 || before + more === 0) this.firstOrLast.add(kind);
  }

  /** Kinds that got their first instance in an update, or lost their last. */
  private readonly firstOrLast = new Set<Entity>();

  /** What stands in a kind is checked for itself where the kind has no instances. */
  private touchFirstOrLast(touched: Set<Entity>): void {
    for (const kind of this.firstOrLast) for (const inner of within(kind)) touched.add(inner);
    this.firstOrLast.clear();
  }

  /** Parts whose kind can't be repeated in them, or not whole, and what it holds. */
  private readonly notRepeated = new Map<Entity, string>();
  /** What the part that is being made may still repeat. */
  private room = 0;

  /** Those parts, and what their kinds hold. */
  get partsNotRepeated(): Iterable<readonly [Entity, string]> {
    return this.notRepeated;
  }

  /** What the kind of a part holds that is missing in it, or in what it repeats; undefined where nothing is. */
  missingIn(part: Entity): string | undefined {
    let written = part;
    while (written.template) written = written.template;
    return this.notRepeated.get(written);
  }

  private discardRepeated(entity: Entity, dependencies: Set<Dependency>, change: GrowingChange): void {
    const repeated = new Map<string, Entity>();
    this.detach(entity, repeated);
    this.discard(repeated.values(), dependencies, change);
  }

  private discard(entities: Iterable<Entity>, dependencies: Set<Dependency>, change: GrowingChange): void {
    for (const entity of entities) {
      entity.contenders = NONE;
      this.forget(entity, dependencies);
      change.removed.push(entity);
      change.touched.add(entity);
    }
  }

  /** Takes the repeated members out of a part, by key. */
  private detach(entity: Entity, found: Map<string, Entity>): void {
    for (const child of [...entity.members.values()]) {
      if (!child.template) continue;
      found.set(child.key, child);
      entity.release(child);
      this.detach(child, found);
    }
  }

  private repeat(
    template: Entity,
    parent: Entity,
    dependencies: Set<Dependency>,
    change: GrowingChange,
    before: Map<string, Entity>,
  ): void {
    // A kind inside a kind is one: which a name stands for must not depend on what is repeated already.
    if (template.kind === 'kind' || parent.members.get(template.name) || --this.room < 0) return;
    const key = `${parent.key}.${keyOf(template.declaration)}`;
    const same = before.get(key);
    const known = same?.kind === template.kind ? same : undefined;
    if (known) before.delete(key);
    const entity = known ?? new Entity(key, template.kind, template.name);
    if (!known || headOf(known.declaration) !== headOf(template.declaration)) {
      dependencies.add(onName(entity.name));
      dependencies.add(onBlocks(entity.kind));
    }
    entity.declaration = template.declaration;
    entity.contenders = [template.declaration];
    entity.template = template;
    entity.parent = parent;
    const values = new Map(template.values);
    this.diffNames(entity, values, dependencies);
    entity.values = values;
    parent.hold(entity);
    this.entities.set(key, entity);
    if (!known) {
      this.index(entity);
      change.added.push(entity);
    }
    change.touched.add(entity);
    for (const child of [...template.members.values()]) this.repeat(child, entity, dependencies, change, before);
  }

  // ---- look-up ------------------------------------------------------------------------------------------------------

  /** The entity that a path names, seen from `from`: lexical scopes outward, then any unambiguous tail. */
  resolvePath(path: readonly string[], from: Entity): Entity | null {
    const found = this.candidates(path, from);
    return found.length === 1 ? found[0]! : null;
  }

  candidates(path: readonly string[], from: Entity): Entity[] {
    const [first, ...rest] = path;
    if (first === undefined) return [];
    for (let at: Entity | null = from; at; at = at.parent) {
      const member = at.members.get(first);
      const found = member && this.descend(member, rest);
      if (found) return [found];
    }
    const top = this.topAbove(from);
    const seen = [...this.namedFrom(first, top)];
    const tops = seen.some(entity => this.topAbove(entity) === top)
      ? seen
      : [...this.librariesNamed(first, top), ...seen];
    const found = tops
      .filter(entity => !entity.template || entity.parent?.base)
      .map(entity => this.descend(entity, rest))
      .filter(entity => entity !== null);
    return rest.length === 0 ? this.outermost(found) : found;
  }

  private descend(entity: Entity, path: readonly string[]): Entity | null {
    let at: Entity | undefined = entity;
    for (const name of path) {
      at = this.memberOf(at, name);
      if (!at) return null;
    }
    return at;
  }

  /** What stands in an entity by its name; the root, which a library may use in turn, holds what is at the top. */
  memberOf(entity: Entity, name: string): Entity | undefined {
    return entity === this.root ? this.entities.get(name) : entity.members.get(name);
  }

  /** The one that stands at the top, where the others stand deeper in the same files; else all. */
  outermost(found: readonly Entity[]): Entity[] {
    const outer = found.filter(entity => entity.parent === this.topAbove(entity));
    const top = outer.length === 1 ? outer[0]!.parent : null;
    return top && found.every(entity => this.topAbove(entity) === top) ? outer : [...found];
  }
}

const EMPTY = blockOf(
  {
    keyword: 'file',
    name: '',
    spans: [],
    placement: { file: '', start: 0 },
    mentions: { names: [], units: [], undetermined: false },
    title: null,
    doc: null,
    value: null,
    hasBlock: true,
    unread: false,
    values: [],
    checks: [],
    conditions: [],
    restrictions: [],
    children: [],
  },
  NOTHING_SAID,
);
const NO_ENTITIES: ReadonlySet<Entity> = new Set();

/**
 * Unnamed blocks (`project {`) are keyed by their kind, so that they can't be mistaken for a name; a project is too,
 * whose name is that of the folder and leads to nothing in it.
 */
export function keyOf({ keyword, name }: Declaration): string {
  if (name === '') return `<${keyword}>`;
  return keyword === 'project' ? `<project ${name}>` : name;
}

/** The kind that a part is said to be of. */
const kindSaid = (part: Entity): Reference | null => declared(part, 'part').is;

function headOf(declaration: Declaration): string {
  const paths = (what: 'on' | 'from' | 'in'): unknown => saidIn(declaration, what).map(target => target.path);
  return JSON.stringify([
    declaration.keyword,
    saidIn(declaration, 'of')?.path,
    saidIn(declaration, 'is')?.path,
    paths('on'),
    paths('from'),
    paths('in'),
    declaration.value?.hash,
    saidIn(declaration, 'columns'),
    saidIn(declaration, 'given').map(parameter => parameter.name),
  ]);
}

/** Orders what is written by file and place. */
export function comparePlace(
  a: { placement: { file: string; start: number }; spans: readonly number[] },
  b: { placement: { file: string; start: number }; spans: readonly number[] },
): number {
  return a.placement.file < b.placement.file
    ? -1
    : a.placement.file > b.placement.file
      ? 1
      : a.placement.start + a.spans[0]! - b.placement.start - b.spans[0]!;
}

/** All that stands in an entity, written or repeated there. */
function within(entity: Entity): ReadonlySet<Entity> {
  const found = new Set(entity.members.values());
  for (const inner of found) for (const member of inner.members.values()) found.add(member);
  return found;
}

/** Entities in file order. */
class Order {
  readonly entities: readonly Entity[];
  private places: ReadonlyMap<Entity, number> | null = null;

  constructor(entities: Entity[]) {
    this.entities = entities.sort(byPlace);
  }

  /** Whether an entity that was touched still stands between the same two. */
  holds(entity: Entity): boolean {
    this.places ??= new Map(this.entities.map((member, i) => [member, i]));
    const place = this.places.get(entity);
    if (place === undefined) return false;
    const [before, after] = [this.entities[place - 1], this.entities[place + 1]];
    return !(before && byPlace(before, entity) > 0) && !(after && byPlace(entity, after) > 0);
  }
}

export function byPlace(a: Entity, b: Entity): number {
  return comparePlace(a.declaration, b.declaration) || (a.key < b.key ? -1 : a.key > b.key ? 1 : 0);
}

/** What a kind is given in only one of two of its declarations, or as something else. */
function movedParameters(before: readonly Parameter[], after: readonly Parameter[]): Parameter[] {
  const written = (parameters: readonly Parameter[]): Set<string> =>
    new Set(parameters.map(parameter => JSON.stringify(parameter)));
  const [old, next] = [written(before), written(after)];
  return [...before, ...after].filter(parameter => {
    const text = JSON.stringify(parameter);
    return !old.has(text) || !next.has(text);
  });
}

function addTo<K, V>(map: Map<K, Set<V>>, key: K, value: V): void {
  const set = map.get(key);
  if (set) set.add(value);
  else map.set(key, new Set([value]));
}
