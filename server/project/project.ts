/**
 * One open project: texts and data in, evaluated configurations and findings out. Everything is incremental; `update`
 * brings all in line
 * with the texts as they are and tells which files' findings may have changed.
 */
import { contentHash, finish } from '../base/index.js';
import type { VerificationSettings } from '../engine/articles.js';
import { Cell, holdsCalculated, isNeeded } from '../engine/evaluation/cell.js';
import { Evaluation } from '../engine/evaluation/evaluation.js';
import type { Overrides } from '../engine/evaluation/overlay.js';
import type { DataSource } from '../engine/evaluation/reading.js';
import type { Problem } from '../engine/elaboration/elaboration.js';
import type { DataRows, Place } from '../engine/values/value.js';
import { restingOn, Verification, type CheckResults, type RequirementResult } from '../engine/verification.js';
import { movedRelations, VerificationIndex } from '../engine/verification-index.js';
import { citedFile, dayOf, wordOf, wordWritten } from '../engine/values/words.js';
import { causesOf } from '../findings/causes.js';
import {
  at,
  RULES,
  type ConfigurationView,
  type FindingRule,
  type Found,
  type ProjectView,
  type Report,
  type Severity,
  type UsedLibraryView,
} from '../findings/index.js';
import { factorSets } from '../findings/requirement-data.js';
import { librarySources } from '../library/generated/sources.js';
import { SEVERITIES } from '../language/index.js';
import { LIBRARY, type LoweredPiece, type ValueItem } from '../model/declaration.js';
import { Namespace, type Entity, type NamespaceChange } from '../model/namespace.js';
import type { Table } from './data-files/table.js';
import { wantedConfigurations } from './configurations.js';
import { FindingStore } from './finding-store.js';
import { sayReason, wordFindings, type Finding, type Severities } from './finding-words.js';
import { readPieces, type OnDefect, type SourcePiece } from './pieces.js';
import { folderOf, joinPath } from './paths.js';
import { ASKED, CHOSEN, STATED, type Day, type DayOrigin } from './day.js';
import type { LibrarySources, ProjectSources, UseOutcome } from './sources.js';
import { NO_CHANGE, Probe, readTrialValue, Trial, type ReadTrialValue, type TrialValue } from './trial.js';
import {
  contentOf,
  dataRequest,
  foundIn,
  loadTable,
  NOT_READY,
  unread,
  type DataRequest,
  type LoadedTable,
} from './tables.js';
import { declared } from '../model/statements.js';

export interface ProjectOptions {
  /** Date by which expiry is judged; overrides the project's own. */
  readonly asOf?: string;
  /** ISO date where neither the options nor the project give one and no revision is known. */
  readonly today: string;
  /** Configurations to evaluate instead of all flight configurations. */
  readonly configurations?: readonly string[];
  /** Told of defects of ours, which are findings where they struck. */
  readonly onDefect?: OnDefect;
}

export type { Finding } from './finding-words.js';

interface Source {
  readonly text: string;
  readonly pieces: readonly SourcePiece[];
}

export { LIBRARY };

/** The formula library, parsed once for all projects. */
let libraryNamespace: Namespace | undefined;
const libraryTexts = new Map<string, string>();
export function library(): Namespace {
  if (!libraryNamespace) {
    libraryNamespace = new Namespace();
    const files = new Map<string, LoweredPiece[]>();
    for (const { path, text } of librarySources) {
      libraryTexts.set(LIBRARY + path, text);
      files.set(
        LIBRARY + path,
        readPieces(LIBRARY + path, text, []).map(piece => piece.lowered),
      );
    }
    libraryNamespace.update(files);
  }
  return libraryNamespace;
}

export function libraryText(file: string): string | undefined {
  library();
  return libraryTexts.get(file);
}

export class Project implements ProjectView, DataSource {
  namespace = new Namespace();
  private arrangement: ProjectSources = NO_SOURCES;
  private readonly sources = new Map<string, Source>();
  private readonly changed = new Map<string, readonly LoweredPiece[] | null>();
  private readonly dataOf = new Map<Entity, { request: DataRequest; loaded: LoadedTable | null }>();
  private readonly changedData = new Set<Entity>();
  private readonly existing = new Map<string, boolean>();
  private readonly filesAsked = new Set<string>();
  private readonly views = new Map<string | null, { readonly view: ConfigurationView; settings: string }>();
  private index: VerificationIndex | null = null;
  /** The index when all was last in line with the texts. */
  private settledIndex: VerificationIndex | null = null;
  /** The model without overrides, on which every configuration stands. */
  private base = new Evaluation(this.namespace, library(), this);
  private readonly checkResults: CheckResults = new WeakMap();
  private store = new FindingStore();
  private settledOnce = false;

  constructor(private options: ProjectOptions) {
    this.day = { date: options.today, origin: { from: 'today', text: 'today' }, isDoubtful: false };
  }

  // ---- input --------------------------------------------------------------------------------------------------------

  setOptions(options: ProjectOptions): void {
    this.interrupt();
    this.options = options;
  }

  /** What the project is made of from now on, libraries included, with the texts of all of it. */
  setSources(next: ProjectSources, texts: ReadonlyMap<string, string>): void {
    const all = [...next.files, ...next.libraries.flatMap(({ files }) => files)];
    const kept = new Set(all);
    const before = this.files;
    if (namesOf(this.arrangement) === namesOf(next)) {
      this.arrangement = next;
      for (const file of before) if (!kept.has(file)) this.setText(file, null);
    } else {
      // Which file's names are whose is another: nothing of what was derived from them holds.
      this.interrupt();
      this.arrangement = next;
      this.sources.clear();
      this.changed.clear();
      this.startOver();
      this.store.touch(before);
    }
    for (const file of all) this.setText(file, texts.get(file)!);
  }

  /** What a `use` in a file leads to; undefined where it was not looked at yet. */
  useOutcome(file: string, path: string): UseOutcome | undefined {
    return this.arrangement.outcomes.get(file)?.get(path);
  }

  get libraries(): readonly UsedLibraryView[] {
    if (this.libraryViews?.revision !== this.revision)
      this.libraryViews = {
        revision: this.revision,
        views: this.arrangement.libraries.map(library => this.libraryView(library)),
      };
    return this.libraryViews.views;
  }

  private libraryViews: { readonly revision: number; readonly views: readonly UsedLibraryView[] } | null = null;

  private libraryView({ key, name, path, files }: LibrarySources): UsedLibraryView {
    const stated = files
      .flatMap(file => this.sources.get(file)?.pieces ?? [])
      .flatMap(piece => piece.lowered.root.children)
      .find(({ kind }) => kind === 'project');
    const texts = files.map(
      file => `${file.slice(path.length + 1)}\n${sameLineEnds(this.sources.get(file)?.text ?? '')}\n`,
    );
    const data = this.dataContent(files);
    return {
      key,
      name,
      path,
      project: stated?.name ?? null,
      revision: wordWritten(stated?.values.find(item => item.name === 'revision')?.value),
      hash: data && contentHash([...texts, ...data].join('')).slice(0, PIN_LENGTH),
    };
  }

  /** What the data files come to that files cite, in one order; null while one was not read yet. */
  private dataContent(files: readonly string[]): readonly string[] | null {
    const citing = new Set(files);
    const contents = new Set<string>();
    for (const [{ declaration }, { request, loaded }] of this.dataOf) {
      if (!citing.has(declaration.placement.file)) continue;
      if (!loaded) return null;
      contents.add(`${request.written}\n${contentOf(loaded)}\n`);
    }
    return [...contents].sort();
  }

  /** A source's new text, or null when it is gone. */
  setText(file: string, text: string | null): void {
    const before = this.sources.get(file);
    if (before?.text === (text ?? undefined)) return;
    this.interrupt();
    this.failed = false;
    if (text === null) {
      this.sources.delete(file);
      this.changed.set(file, null);
      this.store.touch([file]);
    } else this.read(file, text, before?.pieces ?? []);
  }

  private read(file: string, text: string, before: readonly SourcePiece[]): void {
    const pieces = readPieces(file, text, before, (what, error) => this.onDefect(what, error));
    this.sources.set(file, { text, pieces });
    this.changed.set(
      file,
      pieces.map(piece => piece.lowered),
    );
  }

  onDefect(what: string, error: unknown): void {
    this.options.onDefect?.(what, error);
  }

  text(file: string): string | undefined {
    return this.sources.get(file)?.text ?? libraryText(file);
  }

  get files(): readonly string[] {
    return [...this.sources.keys()].sort();
  }

  /** The same without those of the libraries that it uses. */
  get ownFiles(): readonly string[] {
    const { root } = this.namespace;
    return this.files.filter(file => this.namespace.topOf(file) === root);
  }

  /** Data files that blocks read and that were not handed in yet. */
  missingData(): DataRequest[] {
    const requests = new Map<string, DataRequest>();
    for (const { request, loaded } of this.dataOf.values()) if (!loaded) requests.set(request.key, request);
    return [...requests.values()];
  }

  /** Whether a data file is still waited for: the text may have come to name another one meanwhile. */
  isMissing(key: string): boolean {
    return this.missingData().some(request => request.key === key);
  }

  /** All data files in use, by path. */
  dataFiles(): string[] {
    return [...new Set([...this.dataOf.values()].map(({ request }) => request.path).filter(path => path !== null))];
  }

  /** All files that it cites: data, and those that are only to be there. */
  citedFiles(): string[] {
    return [...new Set([...this.dataFiles(), ...this.filesAsked])];
  }

  /** Rows of a data file, or why there are none. */
  setTable(key: string, outcome: { readonly table: Table } | { readonly problem: string }): void {
    this.interrupt();
    this.noteTable(key, outcome);
  }

  private noteTable(key: string, outcome: { readonly table: Table } | { readonly problem: string }): void {
    for (const [entity, data] of this.dataOf) {
      if (data.request.key !== key) continue;
      data.loaded = this.loaded(entity, data.request, outcome);
      this.changedData.add(entity);
    }
  }

  private loaded(
    entity: Entity,
    { written }: DataRequest,
    outcome: { readonly table: Table } | { readonly problem: string },
  ): LoadedTable {
    if ('problem' in outcome) return unread('data-file', { path: written, message: outcome.problem });
    try {
      return loadTable(entity, outcome.table, written);
    } catch (error) {
      this.onDefect(written, error);
      return unread('defect', { what: written });
    }
  }

  /** A data file changed on disk: it will be asked for again. */
  forgetData(path: string): void {
    this.interrupt();
    for (const [entity, data] of this.dataOf) {
      if (data.request.path !== path) continue;
      data.loaded = null;
      this.changedData.add(entity);
    }
  }

  /** Files whose existence findings ask about and that is not known yet. */
  unknownFiles(): string[] {
    return [...this.filesAsked].filter(path => !this.existing.has(path));
  }

  setFileExists(path: string, exists: boolean): void {
    if (!this.filesAsked.has(path) || this.existing.get(path) === exists) return;
    this.interrupt();
    this.existing.set(path, exists);
    this.filesMoved = true;
  }

  private filesMoved = false;

  /** How the file system spells the path of a cited file. */
  setSpelling(path: string, spelt: string): void {
    if (spelt === path) this.spellings.delete(path);
    else this.spellings.set(path, spelt);
  }

  private readonly spellings = new Map<string, string>();

  /** Cited files that are spelt otherwise, as they are spelt. */
  get speltFiles(): Iterable<string> {
    return this.spellings.values();
  }

  spelling(file: string, written: string): string | undefined {
    const path = joinPath(folderOf(file), written);
    return path === null ? undefined : this.spellings.get(path);
  }

  fileExists(from: Entity, written: string): boolean | undefined {
    const path = joinPath(folderOf(from.declaration.placement.file), written);
    if (path === null) return false;
    this.filesAsked.add(path);
    return this.existing.get(path);
  }

  rows(entity: Entity): DataRows {
    return this.dataOf.get(entity)?.loaded?.rows ?? NOT_READY;
  }

  // ---- evaluation ---------------------------------------------------------------------------------------------------

  get library(): Namespace {
    return library();
  }

  /** The names that a file adds to: the project's own, or those of the formula library. */
  namespaceOf(file: string): Namespace {
    return file.startsWith(LIBRARY) ? library() : this.namespace;
  }

  get configurations(): readonly ConfigurationView[] {
    return [...this.views.values()].map(({ view }) => view);
  }

  /** The configuration shown where only one can be. */
  get view(): ConfigurationView {
    return this.configurations[0]!;
  }

  get asOf(): string {
    return this.asked ?? this.ownDate;
  }

  /** Where the day of judgement comes from. */
  get asOfOrigin(): DayOrigin {
    if (this.asked !== null) return CHOSEN;
    if (this.options.asOf !== undefined) return ASKED;
    return this.statedDate === null ? this.day.origin : STATED;
  }

  /** The day of judgement where no other is asked for: the date of the revision. */
  get ownDate(): string {
    return this.options.asOf ?? this.statedDate ?? this.day.date;
  }

  private day: Day;

  /** The revision that its folder stands on was made on `day`. Takes effect with the next update. */
  standOn(day: Day): void {
    if (day.date !== this.day.date) this.interrupt();
    this.day = day;
  }

  private get statedDate(): string | null {
    const project = this.projectEntity;
    return project && dayOf(this.namespace, project, 'date');
  }

  private asked: string | null = null;

  /**
   * Judges as of another date than the project's own until told otherwise; null: as of its own. Takes effect with the
   * next update.
   */
  judgeAsOf(date: string | null): void {
    if (date === this.asked) return;
    this.interrupt();
    this.asked = date;
  }

  get projectEntity(): Entity | null {
    return this.namespace.ofKind('project')[0] ?? null;
  }

  /** Values that are being tried, with what they come to; null while none are. */
  trial: Trial | null = null;

  /** Tries other values for some of the model's, beside the texts; none ends it. */
  tryValues(values: readonly TrialValue[]): void {
    this.update();
    this.trial?.dispose();
    this.trial = values.length > 0 ? new Trial(values.map(value => this.readTrial(value))) : null;
    this.refreshTrial(NO_CHANGE, true);
  }

  readTrial(value: TrialValue): ReadTrialValue {
    return readTrialValue(this.namespace, file => this.text(file) ?? '', value);
  }

  /** For one check with many values in the place of one, beside what is being tried for others; to be disposed of. */
  probe(name: string): Probe {
    this.update();
    return new Probe(
      { namespace: this.namespace, library: library(), data: this, base: this.base },
      wantedConfigurations(this.namespace, this.options.configurations),
      (this.trial?.values ?? []).filter(value => value.name !== name),
    );
  }

  private refreshTrial(change: NamespaceChange, relations: boolean): void {
    this.trial?.refresh(
      {
        namespace: this.namespace,
        library: library(),
        data: this,
        base: this.base,
        index: this.index!,
        settings: this.verificationSettings,
        checkResults: this.checkResults,
      },
      wantedConfigurations(this.namespace, this.options.configurations),
      change,
      [...this.changedData],
      relations,
    );
  }

  thinMargin = 0;
  revision = 0;

  private get verificationSettings(): VerificationSettings {
    const flight = [...this.namespace.entitiesOf('configuration')].filter(
      entity => !declared(entity, 'configuration').study,
    );
    return {
      asOf: this.asOf,
      thinMargin: this.thinMargin,
      several: flight.length > 1,
      fileExists: (from, path) => this.fileExists(from, path),
      say: sayReason,
    };
  }

  readonly codes: ReadonlySet<string> = new Set(RULES.keys());

  reached(milestone: string): boolean {
    const date = (name: string): string | null => {
      const entity = [...this.namespace.named(name)].find(candidate => candidate.kind === 'milestone');
      return entity ? dayOf(this.namespace, entity, 'date') : null;
    };
    const wanted = date(milestone);
    const current = this.projectEntity ? wordOf(this.projectEntity, 'milestone') : null;
    const preparing = current ? date(current) : null;
    return wanted !== null && (wanted <= this.asOf || (preparing !== null && wanted <= preparing));
  }

  /** Brings everything in line with the texts. Returns the files whose findings may have changed. */
  update(): ReadonlySet<string> {
    finish(this.refreshSteps());
    finish(this.judgeSteps());
    return this.takeDirty();
  }

  /** Files whose findings may have changed since this was asked last. */
  takeDirty(): ReadonlySet<string> {
    return this.store.takeDirty();
  }

  /** Values and requirements that are still to be judged. */
  private readonly unjudged = new Map<ConfigurationView, Set<Cell | Entity>>();

  /** Judges what waits for it, of one file or of all; between two steps anything else may be done. */
  *judgeSteps(file: string | null = null): Generator<void> {
    for (const [view, waiting] of [...this.unjudged]) {
      for (const subject of [...waiting]) {
        const { placement } =
          subject instanceof Cell ? (subject.item ?? subject.entity.declaration) : subject.declaration;
        if (file !== null && placement.file !== file) continue;
        if (!waiting.delete(subject)) continue;
        if (subject instanceof Cell) {
          if (view.evaluation.cell(subject.entity, subject.key) === subject) this.gatherCell(view, subject);
        } else if (subject.contenders.length > 0) this.gatherRequirement(view, subject);
        yield;
      }
    }
  }

  private judgeLater(view: ConfigurationView, subjects: Iterable<Cell | Entity>): void {
    const waiting = this.unjudged.get(view) ?? new Set();
    this.unjudged.set(view, waiting);
    for (const subject of subjects) waiting.add(subject);
  }

  /**
   * Brings values in line with the texts, a cell at a time: between two steps anything else may be done, and what is
   * given in anew meanwhile is taken up. What requirements come to is worked out when it is asked for, and their
   * findings are found by `judgeSteps`.
   */
  *refreshSteps(): Generator<void> {
    while (this.refreshStep()) yield;
  }

  /** Does a step of it, whoever else does others; false where nothing is left to do. */
  private refreshStep(): boolean {
    if (this.failed || this.isCurrent) return false;
    try {
      this.refreshing ??= this.bringUpToDate();
      if (!this.refreshing.next().done) return true;
      this.refreshing = null;
      this.isStartingOver = false;
      this.isCurrent = true;
      return false;
    } catch (error) {
      this.refreshing = null;
      this.onDefect(this.isStartingOver ? 'the evaluation from its beginning' : 'the evaluation', error);
      this.startOver();
      this.store.touch(this.files);
      if (!this.isStartingOver) return (this.isStartingOver = true);
      // Nothing is judged rather than anything judged wrongly.
      this.isStartingOver = false;
      this.failed = true;
      this.store.set('evaluation', [{ code: 'defect', place: this.beginning, data: { what: 'the project' } }]);
      return false;
    }
  }

  /** What is going on of bringing values in line with the texts. */
  private refreshing: Generator<void> | null = null;
  private isStartingOver = false;
  /** Whether values are in line with the texts. */
  private isCurrent = false;
  /** The texts as they are can't be evaluated. */
  private failed = false;

  /** Gives up what is going on: something of what it rests on is another. */
  private interrupt(): void {
    this.refreshing?.return(undefined);
    this.refreshing = null;
    this.isCurrent = false;
  }

  /** The place of what concerns no declaration. */
  private get beginning(): Place {
    return { owner: { spans: [0, 0], placement: { file: this.files[0] ?? '', start: 0 } }, id: 0 };
  }

  /** Forgets all that was derived from the texts. */
  private startOver(): void {
    for (const { evaluation } of this.configurations) if (evaluation !== this.base) evaluation.dispose();
    this.trial?.dispose();
    this.trial = null;
    this.views.clear();
    this.newEvaluations.clear();
    this.unjudged.clear();
    this.dataOf.clear();
    this.changedData.clear();
    this.namespace = new Namespace(this.arrangement.libraries, this.arrangement.uses);
    this.base = new Evaluation(this.namespace, library(), this);
    this.store = new FindingStore();
    this.index = this.settledIndex = null;
    this.prepared = null;
    this.settledOnce = false;
    for (const [file, { text }] of this.sources) this.read(file, text, []);
  }

  private *bringUpToDate(): Generator<void> {
    this.store.set('evaluation', []);
    this.revision++;
    const textChanged = this.changed.size > 0 || this.prepared !== null;
    const change = this.prepared ? together(this.prepared, this.readNames()) : this.readNames();
    // Given up before its end, it is made good with what changes next.
    this.prepared = change;
    const wanted = wantedConfigurations(this.namespace, this.options.configurations);
    for (const [name, { view }] of [...this.views])
      if (!wanted.has(name)) {
        if (view.evaluation !== this.base) view.evaluation.dispose();
        this.views.delete(name);
        this.unjudged.delete(view);
        this.store.dropConfiguration(name ?? BASE);
      }
    for (const [name, evaluation] of [...this.newEvaluations])
      if (!wanted.has(name)) {
        evaluation.dispose();
        this.newEvaluations.delete(name);
      }
    const structural = textChanged && (change.dependencies.size > 0 || change.touched.size > 0 || !this.settledOnce);
    const relations = structural && (touchesRelations(change) || (this.index?.cites(change.dependencies) ?? true));
    const before = this.settledIndex;
    yield* this.base.updateSteps(change, undefined, [...this.changedData]);
    if (relations || !this.index || (structural && movesRequirements(this.index, change)))
      this.index = new VerificationIndex(this.base);
    const moved = before && before !== this.index && !relations ? movedRelations(before, this.index) : NOBODY;
    for (const [name, overrides] of wanted) yield* this.updateConfiguration(name, overrides, change, moved, relations);
    if (this.orderViews([...wanted.keys()])) this.store.touch(this.files);
    this.refreshTrial(change, relations || this.index !== before || this.filesMoved);
    this.base.takeTouched();
    this.changedData.clear();
    this.gatherStructure(change, textChanged);
    this.settledOnce = true;
    this.settledIndex = this.index;
    this.filesMoved = false;
    this.prepared = null;
    if (this.readSeverities()) this.store.touch(this.files);
  }

  /** Configurations are shown in the order in which they are written. Whether that moved. */
  private orderViews(names: readonly (string | null)[]): boolean {
    if ([...this.views.keys()].every((name, i) => name === names[i])) return false;
    const entries = names.map(name => [name, this.views.get(name)!] as const);
    this.views.clear();
    for (const [name, entry] of entries) this.views.set(name, entry);
    return true;
  }

  /**
   * Reads names and nothing else, before the first evaluation: then `missingData` and `unknownFiles` tell what to hand
   * in, and all is
   * evaluated once.
   */
  prepare(): void {
    this.interrupt();
    this.prepared = this.readNames();
    for (const entity of this.namespace.entities.values()) {
      for (const item of entity.declaration.values) {
        const written = citedFile(item.value);
        if (written !== null) this.fileExists(entity, written);
      }
    }
  }

  private prepared: NamespaceChange | null = null;

  private readNames(): NamespaceChange {
    const change = this.namespace.update(this.changed);
    this.changed.clear();
    this.noteData(change);
    return change;
  }

  private noteData(change: NamespaceChange): void {
    for (const entity of change.removed) this.dataOf.delete(entity);
    for (const entity of change.touched) {
      if (entity.kind !== 'table' && entity.kind !== 'results') continue;
      const request = entity.contenders.length > 0 ? dataRequest(entity) : null;
      const before = this.dataOf.get(entity);
      if (!request) this.dataOf.delete(entity);
      else if (before?.request.key !== request.key) {
        this.dataOf.set(entity, { request, loaded: null });
        this.changedData.add(entity);
      } else if (before.loaded) {
        // Why a value is undetermined may be told at the block.
        this.changedData.add(entity);
      }
    }
    for (const { request, loaded } of this.dataOf.values()) {
      if (request.path === null && !loaded)
        this.noteTable(request.key, { problem: `${request.written} lies outside the workspace and is not read.` });
    }
  }

  private *updateConfiguration(
    name: string | null,
    overrides: Overrides,
    change: NamespaceChange,
    moved: ReadonlySet<Entity>,
    relations: boolean,
  ): Generator<void> {
    let entry = this.views.get(name);
    if (!entry) {
      const evaluation = name === null ? this.base : this.newEvaluation(name);
      if (evaluation !== this.base) yield* evaluation.updateSteps(change, overrides);
      this.newEvaluations.delete(name);
      this.thinMargin = this.readThinMargin(evaluation);
      const index = this.index!;
      const verification = new Verification(evaluation, index, this.verificationSettings, this.checkResults);
      entry = { view: { name, evaluation, verification }, settings: this.settingsKey };
      this.views.set(name, entry);
      evaluation.takeTouched();
      this.judgeLater(entry.view, evaluation.allCells());
      this.judgeLater(entry.view, index.requirements);
      return;
    }
    const { evaluation, verification } = entry.view;
    if (evaluation !== this.base) yield* evaluation.updateSteps(change, overrides, [...this.changedData]);
    this.thinMargin = this.readThinMargin(evaluation);
    const touched = evaluation.takeTouched();
    const index = this.index!;
    const settings = this.settingsKey;
    const all =
      relations ||
      settings !== entry.settings ||
      this.filesMoved ||
      [...touched].some(cell => cell.item?.kind === 'slot');
    entry.settings = settings;
    const affected = all ? new Set(index.requirements) : requirementsOf(touched, change.touched, index, evaluation);
    if (!all)
      for (const entity of around(index, [
        ...moved,
        ...[...change.touched].filter(({ kind }) => kind === 'requirement'),
      ]))
        affected.add(entity);
    verification.refresh(index, this.verificationSettings, touched, all);
    for (const entity of [...affected, ...change.removed]) verification.forget(entity);
    for (const entity of change.removed) this.store.dropOwner(`${name ?? BASE} ${entity.key}`);
    this.judgeLater(entry.view, touched);
    for (const entity of change.touched.size > 0 || change.rootTouched
      ? [...change.touched, ...this.namespace.tops]
      : change.touched)
      if (entity.contenders.length > 0 || this.namespace.tops.includes(entity))
        this.store.keepCells(`${name ?? BASE} ${entity.key}`, key => evaluation.cell(entity, key) !== undefined);
    this.judgeLater(entry.view, affected);
  }

  /** Evaluations of configurations that are calculated for the first time. */
  private readonly newEvaluations = new Map<string | null, Evaluation>();

  private newEvaluation(name: string): Evaluation {
    const begun = this.newEvaluations.get(name);
    const evaluation = begun ?? new Evaluation(this.namespace, library(), this, name, this.base);
    this.newEvaluations.set(name, evaluation);
    return evaluation;
  }

  /** What every requirement is held against, whatever it reads. */
  private get settingsKey(): string {
    const { asOf, thinMargin, several } = this.verificationSettings;
    return JSON.stringify([asOf, thinMargin, several, factorSets(this.namespace)]);
  }

  private readThinMargin(evaluation: Evaluation): number {
    const project = this.projectEntity;
    const value = project ? evaluation.valueOf(project, 'thin_margin') : undefined;
    return value?.kind === 'quantity' ? evaluation.number(value.node) : 0;
  }

  // ---- findings -----------------------------------------------------------------------------------------------------

  private gatherCell(view: ConfigurationView, cell: Cell): void {
    // The formula library is no file of the project, and its names may be the project's too.
    if (cell.entity === library().root) return;
    // Words and references are read where something asks for them; what is wrong with one is found at its declaration.
    const found = this.guarded(cell.path, at(cell.entity.declaration), report => {
      if (cell.problems.length > 0 && holdsCalculated(cell) && isNeeded(cell))
        for (const problem of cell.problems) report(foundOf(problem));
      if (cell.plan || cell.guarded.length > 0) for (const rule of CELL_RULES) rule.onCell!(report, cell, view, this);
      for (const cause of causesOf(view.evaluation, cell)) report(cause);
    });
    this.store.setCell(`${view.name ?? BASE} ${cell.entity.key}`, cell.key, found);
  }

  private gatherRequirement(view: ConfigurationView, entity: Entity): void {
    const found = this.guarded(entity.label, at(entity.declaration), report => {
      const result = view.verification.result(entity);
      for (const rule of REQUIREMENT_RULES) rule.onRequirement!(report, result, view, this);
    });
    this.store.set(`${view.name ?? BASE} ${entity.key}`, found);
  }

  /** What can be seen in the text of declarations alone, and syntax errors. */
  private gatherStructure(change: NamespaceChange, textChanged: boolean): void {
    if (!textChanged && !this.filesMoved && this.changedData.size === 0) return;
    const refresh = this.filesMoved ? new Set(this.namespace.entities.values()) : change.touched;
    for (const { key } of change.removed) {
      this.store.set(`declaration ${key}`, NOTHING);
      this.store.set(`data ${key}`, NOTHING);
    }
    for (const entity of refresh) {
      if (entity.contenders.length === 0 || entity.template) continue;
      this.store.set(`declaration ${entity.key}`, this.declarationFindingsOf(entity));
      this.gatherData(entity);
    }
  }

  private declarationFindingsOf(entity: Entity): Found[] {
    return this.guarded(entity.label || entity.kind, at(entity.declaration), report => {
      for (const rule of rulesOfKind(entity.kind)) rule.onDeclaration!(report, entity, this);
    });
  }

  /** What `work` finds. A defect of ours in it is found at `place`, and leaves all else alone. */
  private guarded(what: string, place: Place, work: (report: Report) => void): Found[] {
    const found: Found[] = [];
    try {
      work(next => void found.push(next));
    } catch (error) {
      this.onDefect(what, error);
      found.push({ code: 'defect', place, data: { what } });
    }
    return found;
  }

  /**
   * Findings that need the whole project; slower, so they run when nothing else waits. Returns the files they may have
   * changed.
   */
  updateProjectFindings(): ReadonlySet<string> {
    for (const entity of this.dataOf.keys()) this.gatherData(entity);
    for (const rule of PROJECT_RULES) this.gatherProject(rule);
    return this.store.takeDirty();
  }

  private gatherProject(rule: FindingRule): void {
    // Between two steps all may have been forgotten, to be read anew.
    if (this.views.size === 0) return;
    const place = this.projectEntity ? at(this.projectEntity.declaration) : this.beginning;
    const found = this.guarded(`the rule ${rule.code}`, place, report => rule.onProject!(report, this));
    this.store.set(`project ${rule.code}`, found);
  }

  /** What was found in the data file of a block. */
  private gatherData(entity: Entity): void {
    const loaded = this.dataOf.get(entity)?.loaded;
    this.store.set(`data ${entity.key}`, loaded ? foundIn(entity, loaded) : NOTHING);
  }

  /** The same rule by rule, so that a keystroke can come in between; each step gives the files it may have changed. */
  *projectFindingSteps(): Generator<ReadonlySet<string>> {
    for (const entity of this.dataOf.keys()) this.gatherData(entity);
    yield this.store.takeDirty();
    for (const rule of PROJECT_RULES) {
      this.gatherProject(rule);
      yield this.store.takeDirty();
    }
  }

  /** The findings of one file, in order, each once. */
  findings(file: string): Finding[] {
    const source = this.sources.get(file);
    return source
      ? wordFindings(
          { file, ...source, isLabel: label => this.namespace.labelled(label).length > 0 },
          this.store.of(file),
          [...this.views.keys()],
          this.severities,
        )
      : [];
  }

  /** As of the day of judgement. */
  private severities: Severities = new Map();

  /** Reads them anew. Whether they moved: then findings of any file may be told otherwise. */
  private readSeverities(): boolean {
    const before = this.severities;
    const now = new Map<string, Severity | null>();
    for (const { code, level, milestone, before: until } of this.projectEntity
      ? declared(this.projectEntity, 'project').severities
      : []) {
      const name = milestone?.path[0];
      const applies = !name || (until ? !this.reached(name) : this.reached(name));
      if (applies && SEVERITIES.some(known => known === level))
        now.set(code, level === 'off' ? null : (level as Severity));
    }
    this.severities = now;
    return (
      now.size !== before.size ||
      [...now].some(([code, severity]) => !before.has(code) || before.get(code) !== severity)
    );
  }

  /** The result of a requirement in every configuration. */
  results(entity: Entity): { readonly view: ConfigurationView; readonly result: RequirementResult }[] {
    return this.configurations.map(view => ({ view, result: view.verification.result(entity) }));
  }

  /** Paths written in a `file("…")` of a block. */
  citedFile(item: ValueItem | undefined): string | null {
    return item ? citedFile(item.value) : null;
  }
}

const NO_SOURCES: ProjectSources = { files: [], libraries: [], uses: [], outcomes: new Map(), wanted: [] };

/** Hexadecimal digits of the content of a library. */
const PIN_LENGTH = 12;

/** Which names belong together, as a text to compare. */
function namesOf({ libraries, uses }: ProjectSources): string {
  return JSON.stringify([libraries, uses]);
}

/** Whatever ends the lines of a text, and whether or not a mark of its encoding begins it. */
function sameLineEnds(text: string): string {
  return text.replace(/^\uFEFF/, '').replace(/\r\n?/g, '\n');
}

const REQUIREMENT_RULES = [...RULES.values()].filter(rule => rule.onRequirement);
const CELL_RULES = [...RULES.values()].filter(rule => rule.onCell);
const DECLARATION_RULES = [...RULES.values()].filter(rule => rule.onDeclaration);
const rulesByKind = new Map<string, readonly FindingRule[]>();

/** Rules that look at the declarations of a kind of block. */
function rulesOfKind(kind: string): readonly FindingRule[] {
  let rules = rulesByKind.get(kind);
  if (!rules) rulesByKind.set(kind, (rules = DECLARATION_RULES.filter(rule => rule.kinds?.includes(kind) ?? true)));
  return rules;
}

const PROJECT_RULES = [...RULES.values()].filter(rule => rule.onProject);
const NOTHING: Found[] = [];
const BASE = '(base)';

function foundOf(problem: Problem): Found {
  return {
    code: problem.code,
    place: problem.place,
    data: problem.data,
    ...(problem.related ? { related: problem.related } : {}),
  };
}

/** Two changes, one after the other, as one. */
function together(first: NamespaceChange, second: NamespaceChange): NamespaceChange {
  const fields = new Map(first.fields);
  for (const [dependency, entities] of second.fields)
    fields.set(dependency, new Set([...(fields.get(dependency) ?? []), ...entities]));
  const isGone = (entity: Entity): boolean => entity.contenders.length === 0;
  return {
    dependencies: new Set([...first.dependencies, ...second.dependencies]),
    fields,
    formulas: new Set([...first.formulas, ...second.formulas]),
    removed: [...new Set([...first.removed, ...second.removed])].filter(isGone),
    added: [...new Set([...first.added, ...second.added])],
    touched: new Set([...first.touched, ...second.touched]),
    rootTouched: first.rootTouched || second.rootTouched,
  };
}

const RELATIONAL: ReadonlySet<string> = new Set([
  'evidence',
  'waiver',
  'article',
  'lot',
  'nonconformance',
  'milestone',
  'confirmation',
]);

/** Whether a change may have moved who verifies or waives what. */
function touchesRelations(change: NamespaceChange): boolean {
  return [...change.touched].some(
    entity => RELATIONAL.has(entity.kind) || (entity.kind === 'part' && entity.base !== null),
  );
}

/** Whether requirements came, went, or have other parents than those of an index. */
function movesRequirements(index: VerificationIndex, change: NamespaceChange): boolean {
  const isRequirement = (entity: Entity): boolean => entity.kind === 'requirement';
  return (
    change.added.some(isRequirement) ||
    change.removed.some(isRequirement) ||
    [...change.touched].some(entity => isRequirement(entity) && index.hasOtherParents(entity))
  );
}

/**
 * Requirements with those above them, whose status is the worst of theirs, and those below, for which what is said
 * above counts as well.
 */
function around(index: VerificationIndex, requirements: readonly Entity[]): ReadonlySet<Entity> {
  const closure = (relation: ReadonlyMap<Entity, readonly Entity[]>): Set<Entity> => {
    const found = new Set(requirements);
    for (const entity of found) for (const next of relation.get(entity) ?? []) found.add(next);
    return found;
  };
  const known = new Set(index.requirements);
  return new Set([...closure(index.parents), ...closure(index.children)].filter(entity => known.has(entity)));
}

const NOBODY: ReadonlySet<Entity> = new Set();

/** Blocks of whose words (level, class, tested) something is told where their numbers are read. */
const WORDED: ReadonlySet<string> = new Set(['load', 'case', 'factors', 'material', 'environment']);

/** Requirements that read a value of a block. */
function readersOf(evaluation: Evaluation, entity: Entity): Entity[] {
  const readers = new Set(evaluation.cellsOf(entity));
  for (const at of readers) for (const user of at.users) readers.add(user);
  return [...new Set([...readers].map(reader => reader.entity))].filter(({ kind }) => kind === 'requirement');
}

/** Requirements whose result may differ because something that they rest on was touched. */
function requirementsOf(
  touched: ReadonlySet<Cell>,
  changed: ReadonlySet<Entity>,
  index: VerificationIndex,
  evaluation: Evaluation,
): Set<Entity> {
  const affected = new Set<Entity>();
  const add = (entity: Entity): void => {
    if (affected.has(entity)) return;
    affected.add(entity);
    for (const parent of index.parents.get(entity) ?? []) add(parent);
  };
  for (const entity of new Set([...[...touched].map(cell => cell.entity), ...changed])) {
    if (entity.kind === 'requirement') add(entity);
    else for (const requirement of restingOn({ evaluation, index }, entity)) add(requirement);
  }
  for (const entity of changed) if (WORDED.has(entity.kind)) readersOf(evaluation, entity).forEach(add);
  const known = new Set(index.requirements);
  return new Set([...affected].filter(entity => known.has(entity)));
}
