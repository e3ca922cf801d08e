/** What may stand at the caret, the likely first: names by their dimension, units, labels, fields, words. */
import type { CompletionItem } from 'vscode-languageserver-types';
import { BUILTINS } from '../engine/elaboration/builtins.js';
import { titleOf } from '../engine/values/describe.js';
import type { Environment } from '../engine/elaboration/elaboration.js';
import { printValue } from '../engine/explain.js';
import type { Value } from '../engine/values/value.js';
import { isTemplate } from '../engine/verification-index.js';
import { freeLabel } from '../findings/fixes.js';
import { RULES } from '../findings/index.js';
import {
  BASES,
  BLOCKS,
  FORMAT_WORDS,
  HEADS,
  INTERPOLATIONS,
  LABELLED_BLOCKS,
  LEVEL_WORDS,
  METHODS,
  PARAMETER_TYPES,
  SEVERITIES,
  STATEMENTS,
  SUFFIXES,
  wordRow,
  WORDS,
  type FieldRow,
  type HeadWord,
  type StatementWord,
  type WordKind,
  type WordRow,
} from '../language/index.js';
import type { Parameter, ValueItem } from '../model/declaration.js';
import type { Entity } from '../model/namespace.js';
import { tokenize } from '../syntax/parser.js';
import { dimensionName, NAMED_QUANTITIES, tableSymbols, unitsOfDimension, type Unit } from '../units/index.js';
import { callAt, environmentAt, expectedAt, operandStart, type Expected } from './bindings.js';
import snippets from '../../grammar/snippets.json';
import { BLOCK_KINDS } from './block-kinds.js';
import { blockOf, caretAt, endOf, endsOperand, textOf, typeOf, type Caret, type Frame } from './caret.js';
import { dimensionOf, inScene, type Scene } from './evaluate.js';
import { rangeOf, type FeatureContext } from './feature.js';
import { entityAt, membersOf, visibleNames, type Visible } from './scope.js';
import { typeText } from './signature.js';
import { declared, saidIn } from '../model/statements.js';

export interface Completions {
  readonly items: readonly CompletionItem[];
  readonly isIncomplete: boolean;
}

/** What resolving an item needs to find it again. */
export interface CompletionData {
  readonly uri: string;
  readonly entity?: string;
  readonly library?: boolean;
  readonly name?: string;
  readonly builtin?: string;
}

const MOST = 400;
const KIND = {
  function: 3,
  field: 5,
  variable: 6,
  class: 7,
  property: 10,
  unit: 11,
  value: 12,
  keyword: 14,
  snippet: 15,
  file: 17,
  reference: 18,
  constant: 21,
  event: 23,
} as const;
const COMPARED = /^[ \t]*(?:<=|>=|≤|≥|<|>)/u;
const FOLDS = new Set(['sum', 'min', 'max', 'all', 'any', 'count', 'list', 'rss', 'mean']);

export function completionsAt(context: FeatureContext, offset: number, trigger: string | undefined): Completions {
  const caret = caretAt(context.text, offset);
  if (!caret || context.file.startsWith('library:')) return NOTHING;
  return inScene(context.project, scene => new Suggestions(context, caret, scene).all(trigger)) ?? NOTHING;
}

const NOTHING: Completions = { items: [], isIncomplete: false };

/** What is said of a word that acts in one of these ways. */
function said(...kinds: readonly WordKind[]): (word: string) => string {
  return word => wordRow(word, ...kinds)?.documentation ?? '';
}

class Suggestions {
  private readonly items: CompletionItem[] = [];
  private readonly taken = new Set<string>();
  private incomplete = false;
  private readonly entity: Entity;
  private readonly last: string;
  private readonly frame: Frame;
  private readonly block: Frame;
  private readonly after: string;

  constructor(
    private readonly context: FeatureContext,
    private readonly caret: Caret,
    private readonly scene: Scene,
  ) {
    this.entity = entityAt(context.project, context.file, caret);
    this.last = typeOf(caret.tokens.at(-1));
    this.frame = caret.frames.at(-1)!;
    this.block = blockOf(caret);
    this.after = context.text.slice(
      offsetBehindWord(context.text, caret.offset),
      offsetBehindWord(context.text, caret.offset) + 300,
    );
  }

  all(trigger: string | undefined): Completions {
    const quiet = trigger === ' ';
    this.fill(quiet);
    return { items: this.items, isIncomplete: this.incomplete };
  }

  private fill(quiet: boolean): unknown {
    const { caret, last, frame } = this;
    const adjacent = caret.tokens.length > 0 && endOf(caret.tokens.at(-1)!) === caret.source.length - caret.word.length;
    if (last === '.' && adjacent) return this.members();
    if (last === '#') return this.labels(LABELLED_BLOCKS);
    if ((last === 'NUMBER' || last === 'TBD') && caret.onLine) return this.units(caret.word === '' && adjacent, quiet);
    if (last === 'as') return this.conversionUnits();
    if (last === ':' && this.isTypePosition()) return this.types();
    if (frame.kind === 'block') {
      if (this.inStatement(quiet)) return;
      if (this.isNewStatement()) {
        if (!quiet) this.statements();
        return;
      }
    }
    if (frame.kind === 'record' && last !== ':' && (last === '{' || last === ',' || endsOperand(caret.tokens.at(-1))))
      return;
    if (endsOperand(caret.tokens.at(-1)) && !(frame.kind === 'list' && last === 'UNIT' && caret.atLineStart)) {
      if (!quiet) this.continuing();
      return;
    }
    this.expression();
  }

  // ---- lists --------------------------------------------------------------------------------------------------------

  private add(
    label: string,
    kind: CompletionItem['kind'],
    sort: string,
    more: Partial<CompletionItem> & { insert?: string } = {},
  ): void {
    if (this.taken.has(label) || !matches(label, this.caret.word)) return;
    if (this.items.length >= MOST) {
      this.incomplete = true;
      return;
    }
    this.taken.add(label);
    const { insert = label, ...rest } = more;
    const range = rangeOf(this.context.lines, this.caret.wordStart, this.caret.offset);
    this.items.push({ label, kind, sortText: `${sort}${label}`, textEdit: { range, newText: insert }, ...rest });
  }

  private words(
    words: Iterable<string>,
    sort: string,
    doc: (word: string) => string = () => '',
    kind: CompletionItem['kind'] = KIND.keyword,
  ): true {
    for (const word of words) this.add(word, kind, sort, doc(word) ? { documentation: doc(word) } : {});
    return true;
  }

  private get data(): CompletionData {
    return { uri: this.context.uri(this.context.file) };
  }

  // ---- behind a dot -------------------------------------------------------------------------------------------------

  private members(): void {
    const { caret, scene, entity, context } = this;
    const dot = caret.tokens.length - 1;
    const env = environmentAt(scene, caret, entity);
    const value = scene.value(textOf(caret, operandStart(caret, dot), dot), entity, env);
    if (!value || value.kind === 'poison') return this.everyLoadField();
    const expected = expectedAt(
      scene,
      context.project,
      { ...caret, tokens: caret.tokens.slice(0, operandStart(caret, dot)) },
      entity,
      env,
      this.after,
    );
    for (const member of membersOf(context.project, value)) {
      if (member.kind === 'entry') this.entry(member.name, member.value, expected);
      else this.visible(member, expected, member.name);
    }
  }

  /** What a name that nothing is known of may well be: the load that a formula is swept over. */
  private everyLoadField(): void {
    const dot = this.caret.tokens.length - 1;
    const env = environmentAt(this.scene, this.caret, this.entity);
    const name = this.caret.tokens[dot - 1]?.image;
    let bound = false;
    for (let at = env; at; at = at.parent) bound ||= at.name === name;
    if (!bound) return;
    for (const load of this.context.project.namespace.entitiesOf('load'))
      for (const field of load.values.keys())
        if (field !== 'source' && field !== 'level')
          this.add(field, KIND.field, '2', { detail: `of load ${load.name}` });
  }

  private entry(name: string, value: Value | null, expected: Expected | null): void {
    const { evaluation } = this.context.project.view;
    const detail = value ? printValue(node => evaluation.number(node), value) : undefined;
    this.add(name, KIND.property, `${fit(dimensionOf(value), expected)}0`, detail ? { detail } : {});
  }

  // ---- units --------------------------------------------------------------------------------------------------------

  private units(glued: boolean, quiet: boolean): void {
    const { caret, scene, entity, context } = this;
    const before = {
      ...caret,
      tokens: caret.tokens.slice(0, typeOf(caret.tokens.at(-2)) === '-' && !endsOperand(caret.tokens.at(-3)) ? -2 : -1),
    };
    const expected = expectedAt(
      scene,
      context.project,
      before,
      entity,
      environmentAt(scene, before, entity),
      this.after,
    );
    const space = glued ? ' ' : '';
    // Behind `± 0` a number goes on, and a unit that pops up would be taken by accident.
    const goesOn = typeOf(caret.tokens.at(-2)) === '±' && caret.tokens.at(-1)!.image === '0';
    if (glued && (expected === null || goesOn)) return;
    if (expected) {
      unitsOfDimension(expected.dimension)
        .filter(unit => !expected.point || unit.isPoint || unit.symbol === 'K')
        .forEach((unit, i) => this.unit(unit, `0${rank(i)}`, space));
    } else {
      let i = 0;
      for (const symbol of USUAL_UNITS) this.add(symbol, KIND.unit, `1${rank(i++)}`, { insert: symbol });
      for (const symbol of tableSymbols()) this.add(symbol, KIND.unit, `2${rank(i++)}`, { insert: symbol });
    }
    for (const [name, unit] of context.project.view.evaluation.units)
      if (!expected || unit.dimension === expected.dimension) this.unit(unit, '0z', space, name);
    if (!quiet && !glued) this.continuing();
  }

  private unit(unit: Unit, sort: string, space: string, label = unit.symbol): void {
    this.add(label, KIND.unit, sort, {
      insert: space + label,
      ...(unit.name ? { detail: unit.name } : { detail: dimensionName(unit.dimension) }),
    });
  }

  private conversionUnits(): void {
    const { caret, scene, entity } = this;
    const end = caret.tokens.length - 1;
    const from = expressionStart(caret, end);
    const value = dimensionOf(scene.value(textOf(caret, from, end), entity, environmentAt(scene, caret, entity)));
    if (value)
      unitsOfDimension(value.dimension)
        .filter(unit => !value.point || unit.isPoint)
        .forEach((unit, i) => this.unit(unit, `0${rank(i)}`, ''));
    else [...tableSymbols()].forEach((symbol, i) => this.add(symbol, KIND.unit, `1${rank(i)}`));
  }

  /** Behind the colon of a parameter, a `given` value or a result. */
  private isTypePosition(): boolean {
    const { caret, block, frame } = this;
    const head = typeOf(caret.tokens[block.statement]);
    if (head === 'given') return true;
    return (
      (head === 'let' || head === 'formula') &&
      !caret.tokens.slice(block.statement).some(token => typeOf(token) === '=') &&
      (frame === block || frame.opener === block.statement + 2)
    );
  }

  private types(): void {
    NAMED_QUANTITIES.forEach(({ name, doc }, i) => this.add(name, KIND.class, `0${rank(i)}`, { documentation: doc }));
    this.words(PARAMETER_TYPES, '2', said('type'), KIND.class);
  }

  // ---- statements ---------------------------------------------------------------------------------------------------

  private isNewStatement(): boolean {
    const { caret, block, last } = this;
    if (caret.inText) return false;
    if (caret.tokens.length === 0 || (last === '{' && caret.tokens.length - 1 === block.opener)) return true;
    return endsOperand(caret.tokens.at(-1)) && (caret.atLineStart || block.statement === caret.tokens.length);
  }

  /** Words that decide what follows them. True when nothing else may stand here. */
  private inStatement(quiet: boolean): boolean {
    const { caret, block, last } = this;
    const { tokens } = caret;
    const head = typeOf(tokens[block.statement]);
    if (block.statement >= tokens.length) return false;
    const word = governor(caret, block);
    if (head === 'KEYWORD' && !tokens.slice(block.statement).some(token => typeOf(token) === '='))
      return this.inHead(word, tokens[block.statement]!.image);
    if (head === 'verify') return this.inVerify(quiet);
    if (head === 'check' && last === 'check') return this.modes();
    if (head === 'severity') return this.severity();
    if (head === 'needs' && (last === 'needs' || last === ',')) return this.words(this.everyMode(), '0');
    if (last === 'let' || last === 'formula' || last === 'unit' || last === 'given') return true;
    switch (word) {
      case 'basis':
        this.words(BASES, '0', said('choice'), KIND.value);
        return true;
      case 'maturity':
        this.maturities();
        return true;
      case 'from':
        this.lots();
        return true;
      case 'free':
        this.expression();
        return true;
      case 'in':
        if (head === 'check') return false;
    }
    const names = word === null ? undefined : wordRow(word, 'statement', 'suffix', 'clause')?.names;
    if (names) return this.references(names);
    const values = wordRow(last, 'format')?.values;
    if (values) return this.words(values, '0', undefined, KIND.value);
    if (last === '=') return this.fieldValue(tokens[tokens.length - 2]?.image ?? '');
    if (last === 'holds') return this.words(['while'], '0', said('clause'));
    return false;
  }

  private inHead(word: string | null, keyword: string): boolean {
    const { caret, last } = this;
    if (word !== null) {
      return this.references(BLOCKS.get(keyword)?.head[word as HeadWord] ?? []);
    }
    if (last === 'KEYWORD') {
      const next = LABELLED_BLOCKS.includes(keyword) ? nextLabel(this.context, keyword) : null;
      if (next) this.add(next, KIND.reference, '0', { detail: 'the next free label' });
      return true;
    }
    if (endsOperand(caret.tokens.at(-1)) && !caret.atLineStart) {
      const head = BLOCKS.get(keyword)?.head ?? {};
      this.words(
        [...Object.keys(HEADS).filter(part => part in head), ...(head.format ? FORMAT_WORDS : [])],
        '0',
        said('head', 'format'),
      );
      return true;
    }
    return false;
  }

  private inVerify(quiet: boolean): boolean {
    const { caret, block, last } = this;
    const tokens = caret.tokens.slice(block.statement);
    if (last === 'verify') return this.words(['by'], '0', said('clause'));
    const comma = tokens.findLastIndex(token => typeOf(token) === ',');
    const method = tokens.slice(Math.max(comma, 1) + 1);
    if (caret.tokens.at(-1)?.image === 'review') this.words(['of'], '0', said('clause'));
    if (last === ',' || tokens.length === 2) {
      const taken = new Set(saidIn(this.entity.declaration, 'methods').map(({ name }) => name));
      this.words(
        METHODS.filter(name => name !== 'review' && (!taken.has(name) || name === caret.word)),
        '0',
        said('choice'),
        KIND.value,
      );
      return true;
    }
    if (last === 'on') {
      this.words(['each'], '1', said('clause'));
      this.references(['article', 'part']);
      return true;
    }
    if (last === 'each') return this.references(['article', 'part']);
    if (last === 'by') return this.references(['milestone']);
    if (quiet || caret.atLineStart) return false;
    const has = (word: string): boolean => method.some(token => typeOf(token) === word);
    if (!has('on')) this.words(['on'], '0', said('clause'));
    if (!has('LEVEL')) this.words(LEVEL_WORDS, '1', said('choice'));
    if (!has('by')) this.words(['by'], '0', said('clause'));
    return true;
  }

  private modes(): boolean {
    const { entity } = this;
    const owner = entity.part?.base ?? nearest(entity, 'kind');
    const done = new Set(entity.checks.map(check => check.mode));
    const needed = owner ? declared(owner, 'kind').needs.map(need => need.name) : [];
    for (const mode of needed)
      this.add(mode, KIND.value, done.has(mode) ? '3' : '0', {
        detail: `needed by ${owner!.name}`,
        insert: `${mode} `,
      });
    this.words(['for'], '1', said('operator'));
    for (const mode of this.everyMode()) this.add(mode, KIND.value, '2', { insert: `${mode} ` });
    this.expression(COMPARED.test(this.after) ? '' : '4');
    return true;
  }

  private everyMode(): Set<string> {
    const modes = new Set<string>(['yield', 'ultimate', 'buckling']);
    for (const { checks } of this.context.project.namespace.entitiesOf('requirement')) {
      for (const { mode } of checks) if (mode) modes.add(mode);
      if (modes.size > MOST) break;
    }
    return modes;
  }

  private severity(): boolean {
    const { last } = this;
    if (last === 'severity') this.words(RULES.keys(), '0', code => RULES.get(code)!.title, KIND.value);
    else if (last === '=') this.words(SEVERITIES, '0', said('choice'), KIND.value);
    else if (last === 'by' || last === 'before') this.references(['milestone']);
    else this.words(['by', 'before'], '0', said('clause'));
    return true;
  }

  private maturities(): void {
    const rows = new Set<string>();
    for (const growth of this.context.project.namespace.entitiesOf('growth'))
      for (const name of growth.values.keys()) if (name !== 'source') rows.add(name);
    this.words(rows.size > 0 ? rows : ['estimated', 'calculated', 'measured'], '0', undefined, KIND.value);
  }

  /** Lots of the material that stands before `from` come first. */
  private lots(): void {
    const { caret, context } = this;
    const from = caret.tokens.findLastIndex(token => typeOf(token) === 'from');
    const material = caret.tokens[from - 1]?.image;
    for (const lot of context.project.namespace.entitiesOf('lot')) {
      const of = declared(lot, 'lot').of?.path.join('.') ?? '';
      this.add(lot.name, KIND.reference, of === material ? '0' : '1', {
        detail: [of, titleOf(lot)].filter(Boolean).join(' · '),
        data: { ...this.data, entity: lot.key },
      });
    }
  }

  private references(kinds: readonly string[]): true {
    if (kinds.length === 0) this.expression();
    else this.labels(kinds);
    return true;
  }

  private labels(kinds: readonly string[]): void {
    const { namespace } = this.context.project;
    for (const kind of kinds) {
      for (const entity of namespace.entitiesOf(kind)) {
        if (entity.name === '' || entity.contenders.length === 0 || entity === this.entity) continue;
        if (entity.template && kind !== 'requirement') continue;
        if (kind === 'requirement' && !entity.template && isTemplate(entity)) continue;
        this.add(entity.label, BLOCK_KINDS.get(kind)?.completion ?? KIND.reference, `${kinds.indexOf(kind)}`, {
          detail: [kind, titleOf(entity)].filter(Boolean).join(' · '),
          data: { ...this.data, entity: entity.key },
        });
      }
    }
  }

  private statements(): void {
    const { block, entity } = this;
    const rule = BLOCKS.get(block.keyword);
    if (!rule) return;
    const there = this.namesInBlock();
    Object.entries(rule.fields).forEach(([name, field], i) => {
      if (!there.has(name)) this.field(name, field, `${field.required ? '0' : '1'}${rank(i)}`);
    });
    for (const parameter of entity.base ? declared(entity.base, 'kind').given : [])
      if (!there.has(parameter.name))
        this.add(parameter.name, KIND.field, '0', {
          insert: `${parameter.name} = `,
          detail: `${typeText(parameter.type) ?? 'value'} that ${entity.base!.name} asks for`,
        });
    for (const word of rule.statements) {
      const row: WordRow = STATEMENTS[word as StatementWord];
      if (
        row.wordless ||
        (word === 'verify' && saidIn(entity.declaration, 'hasVerify') && entity.kind === block.keyword)
      )
        continue;
      this.keyword(word, `2${rank(rule.statements.indexOf(word))}`, row.begins ?? `${word} `, row.documentation);
    }
    rule.children.forEach((kind, i) => {
      const sort = block.keyword === 'file' ? '1' : '3';
      this.keyword(kind, `${sort}${rank(i)}`, `${kind} `, BLOCKS.get(kind)!.documentation);
    });
    if (rule.open) this.fieldsOfSiblings(there);
    if (block.statement < this.caret.tokens.length) this.words(this.clauses(), '8', said('clause'));
  }

  /** A word that begins a statement, with places to fill in where the client takes them. */
  private keyword(word: string, sort: string, insert: string, documentation: string): void {
    const own = this.context.settings.snippets ? SNIPPETS.filter(({ begins }) => begins === word) : [];
    for (const { prefix, text, description } of own)
      this.add(prefix, KIND.snippet, sort, {
        insert: this.filled(word, text),
        insertTextFormat: 2,
        documentation: prefix === word ? documentation : description,
      });
    this.add(word, KIND.keyword, sort, { insert, documentation });
  }

  /** A snippet with the next free label, and the day of the revision. */
  private filled(word: string, text: string): string {
    const label = LABELLED_BLOCKS.includes(word) ? nextLabel(this.context, word) : null;
    const labelled = label === null ? text : text.replace(/\$\{1:[^}]*\}/, `\${1:${label}}`);
    return labelled.replaceAll('$CURRENT_YEAR-$CURRENT_MONTH-$CURRENT_DATE', this.context.project.asOf);
  }

  private field(name: string, { documentation, type, words }: FieldRow, sort: string): void {
    const snippet =
      type === 'file' && this.context.settings.snippets
        ? { insert: `${name} = file("$1")`, insertTextFormat: 2 as const }
        : { insert: `${name} = ` };
    this.add(name, KIND.field, sort, {
      ...snippet,
      detail: words ? words.join(', ') : type === 'any' ? 'value' : type,
      documentation,
    });
  }

  private namesInBlock(): Set<string> {
    const { caret, block, entity } = this;
    const names = new Set(entity.kind === block.keyword ? entity.declaration.values.map(item => item.name) : []);
    let depth = 0;
    for (let i = block.opener + 1; i < caret.tokens.length; i++) {
      const type = typeOf(caret.tokens[i]);
      if (type === '{') depth++;
      else if (type === '}') depth--;
      else if (depth === 0 && type === 'NAME' && typeOf(caret.tokens[i + 1]) === '=') names.add(caret.tokens[i]!.image);
    }
    return names;
  }

  /** Fields that other blocks of the kind have and this one lacks. */
  private fieldsOfSiblings(there: ReadonlySet<string>): void {
    const { block, entity } = this;
    let looked = 0;
    for (const sibling of this.context.project.namespace.entitiesOf(block.keyword)) {
      if (sibling !== entity && !sibling.template)
        for (const item of sibling.declaration.values)
          if (item.kind === 'field' && !there.has(item.name))
            this.add(item.name, KIND.field, '4', { insert: `${item.name} = `, detail: `as ${sibling.name} has` });
      if (++looked > MOST) return;
    }
  }

  /** Directly behind `=` of a field that has its own kinds of value. */
  private fieldValue(name: string): boolean {
    const { block, caret, context } = this;
    const rule = BLOCKS.get(block.keyword)?.fields[name];
    if (!rule || typeOf(caret.tokens[block.statement]) !== 'NAME') return false;
    switch (rule.type) {
      case 'word':
        this.words(rule.words ?? [], '0', said('choice'), KIND.value);
        return true;
      case 'truth':
        this.words(['true', 'false'], '0', said('operator'));
        return true;
      case 'date':
        this.add(context.project.asOf, KIND.value, '0', { detail: 'the date of this revision' });
        return true;
      case 'file':
        this.add(
          'file("")',
          KIND.file,
          '0',
          context.settings.snippets ? { insert: 'file("$1")', insertTextFormat: 2 } : {},
        );
        return true;
      case 'reference':
        this.references(rule.names ?? []);
        return true;
      default:
        return false;
    }
  }

  // ---- expressions --------------------------------------------------------------------------------------------------

  private continuing(): unknown {
    const { caret, frame } = this;
    const clauses = [...this.clauses(), ...this.formats()];
    const inBrackets = frame.kind !== 'block' && frame.kind !== 'record';
    const folds = frame.kind === 'call' ? ['for', 'in'] : [];
    if (caret.inText) return this.words(['as'], '8', said('operator'));
    this.words(
      [...clauses, ...(inBrackets ? folds : Object.keys(SUFFIXES)), 'as', 'and', 'or'],
      '8',
      said('clause', 'interpolation', 'format', 'suffix', 'operator'),
    );
  }

  /** Words that go on with just this statement, or with what stands before the caret. */
  private clauses(): readonly string[] {
    const { caret, block, frame, last } = this;
    const statement = caret.tokens.slice(block.statement).map(typeOf);
    const inFrame = frame === block ? statement : caret.tokens.slice(frame.opener).map(typeOf);
    const count = (type: string): number => statement.filter(each => each === type).length;
    const open = new Set([
      statement[0],
      ...(inFrame.includes('±') || inFrame.includes('TOLERANCE') ? ['tolerance'] : []),
      ...(inFrame.includes('..') ? ['range'] : []),
      ...(inFrame.includes('for') ? ['fold'] : []),
      ...(statement[0] === 'NAME' && statement[1] === 'as' ? ['column'] : []),
    ]);
    return [
      ...(count('if') > count('then') ? ['then'] : count('then') > count('else') ? ['else'] : []),
      ...(last === ']' || last === '}' ? Object.keys(INTERPOLATIONS) : []),
      ...WORDS.filter(({ continues }) => continues?.some(what => open.has(what))).map(({ word }) => word),
    ];
  }

  /** Behind the file that a table or results are read from: how it is written. */
  private formats(): readonly string[] {
    const { caret, block } = this;
    const [opener, ...rest] = caret.tokens.slice(block.statement);
    const isRead = typeOf(opener) === 'KEYWORD' && BLOCKS.get(opener!.image)?.head.format;
    return isRead && rest.some(token => typeOf(token) === '=') ? [...FORMAT_WORDS] : [];
  }

  private expression(sort = ''): void {
    const { caret, scene, entity, context } = this;
    const env = environmentAt(scene, caret, entity);
    const expected = expectedAt(scene, context.project, caret, entity, env, this.after);
    this.argumentNames(env);
    this.leading(expected);
    const own = this.ownName();
    if (own !== null) this.taken.add(own);
    for (let at = env; at; at = at.parent)
      this.add(at.name, KIND.variable, `${sort}${fit(dimensionOf(at.value), expected)}0`, {
        detail: this.printed(at.value) ?? 'bound here',
      });
    for (const name of visibleNames(context.project, entity, candidate => matches(candidate, caret.word)))
      this.visible(name, expected, name.name, sort);
    this.localNames(sort, expected);
    this.words(['if', 'not', 'true', 'false', 'TBD'], `${sort}9`, said('operator'));
  }

  /** What a sweep runs over first: loads, cases and lists of them; for temperatures, `knots`. */
  private leading(expected: Expected | null): void {
    const over = this.runsOver();
    if (over === null) return;
    const { caret, context, entity } = this;
    for (const name of visibleNames(context.project, entity, candidate => matches(candidate, caret.word))) {
      if (name.kind === 'builtin' && over.builtins.includes(name.name))
        this.visible(name, expected, name.name, `!${over.builtins.indexOf(name.name)}`);
      if (name.kind === 'entity' && over.blocks.includes(name.entity.kind))
        this.visible(name, expected, name.name, '!5');
      if (name.kind === 'value' && over.blocks.includes('load') && this.isListOfLoads(name.entity, name.item))
        this.visible(name, expected, name.name, '!5');
    }
  }

  /** What is likely behind `for x in` and in `corners(` and `knots(`; null elsewhere. */
  private runsOver(): { readonly builtins: readonly string[]; readonly blocks: readonly string[] } | null {
    const { caret, frame, last } = this;
    const [before, binder] = caret.tokens.slice(-3);
    if (last === 'in' && ['for', ','].includes(typeOf(before)) && typeOf(binder) === 'NAME')
      return /^T/.test(binder!.image)
        ? { builtins: ['knots'], blocks: ['environment'] }
        : { builtins: ['corners'], blocks: ['load', 'case'] };
    if (frame.kind !== 'call' || caret.tokens.length !== frame.opener + 1) return null;
    const callee = caret.tokens[frame.opener - 1]?.image;
    if (callee === 'corners') return { builtins: [], blocks: ['load', 'case'] };
    return callee === 'knots' ? { builtins: [], blocks: ['environment'] } : null;
  }

  private isListOfLoads(entity: Entity, item: ValueItem): boolean {
    const value = item.parameters ? undefined : this.context.project.view.evaluation.valueOf(entity, item.name);
    const isLoad = (each: Value): boolean =>
      each.kind === 'load' || (each.kind === 'entity' && (each.entity.kind === 'load' || each.entity.kind === 'case'));
    return value?.kind === 'list' && value.items.length > 0 && value.items.every(isLoad);
  }

  /** A value can't be made of itself. */
  private ownName(): string | null {
    const { caret, block } = this;
    const statement = caret.tokens.slice(block.statement);
    const equals = statement.findIndex(token => typeOf(token) === '=');
    if (equals < 1) return null;
    return typeOf(statement[0]) === 'let' || typeOf(statement[0]) === 'formula'
      ? (statement[1]?.image ?? null)
      : equals === 1
        ? statement[0]!.image
        : null;
  }

  /** `M = ` for what a call still lacks. */
  private argumentNames(env: Environment | null): void {
    const { caret, scene, entity, last, frame } = this;
    if (frame.kind !== 'call' || (last !== '(' && last !== ',')) return;
    const call = callAt(scene, caret, entity, env);
    if (!call) return;
    const given = new Set(
      caret.tokens
        .slice(frame.opener)
        .filter((_, i, all) => typeOf(all[i + 1]) === '=')
        .map(token => token.image),
    );
    const { value } = call;
    if (value?.kind === 'formula')
      for (const parameter of value.item.parameters!.slice(given.size === 0 ? call.argument : 0))
        if (!given.has(parameter.name))
          this.add(`${parameter.name} =`, KIND.property, `0 ${rank(value.item.parameters!.indexOf(parameter))}`, {
            insert: `${parameter.name} = `,
            filterText: parameter.name,
            detail: typeText(parameter.type) ?? 'value',
          });
    if (value?.kind === 'builtin' && FOLDS.has(value.name)) this.words(['for'], '0 ', said('operator'));
  }

  /** Names that stand in the text of the blocks around, and that a broken tree may have lost. */
  private localNames(sort: string, expected: Expected | null): void {
    const { caret, scene, entity } = this;
    for (const frame of caret.frames) {
      if (frame.kind !== 'block' || frame.opener < 0) continue;
      const from = endOf(caret.tokens[frame.opener]!) + caret.base;
      for (const { name, text } of namesIn(this.context.text.slice(from, from + LONGEST_LOOK))) {
        const found = this.taken.has(name) ? null : dimensionOf(scene.value(text, entity, null));
        this.add(name, KIND.variable, `${sort}${fit(found, expected)}1`);
      }
    }
  }

  private visible(name: Visible, expected: Expected | null, label: string, sort = ''): void {
    switch (name.kind) {
      case 'value':
        return this.value(name.entity, name.item, expected, label, name.distance, sort);
      case 'given':
        return this.add(
          label,
          KIND.property,
          `${sort}${fit(this.parameterDimension(name.parameter, name.entity), expected)}${name.distance}`,
          { detail: typeText(name.parameter.type) ?? 'given' },
        );
      case 'entity':
        return this.add(
          label,
          BLOCK_KINDS.get(name.entity.kind)?.completion ?? KIND.class,
          `${sort}${expected ? 2 : 1}${name.distance}`,
          {
            detail: [name.entity.kind, titleOf(name.entity)].filter(Boolean).join(' · '),
            data: { ...this.data, entity: name.entity.key },
          },
        );
      case 'builtin':
        return this.add(label, KIND.function, `${sort}${expected ? 2 : 1}${name.distance}`, {
          detail: BUILTINS.get(name.name)!.signature,
          data: { ...this.data, builtin: name.name },
          ...this.call(label, [{ name: '' }]),
        });
      case 'constant':
        return this.add(label, KIND.constant, `${sort}${expected ? 2 : 1}${name.distance}`);
    }
  }

  private value(
    entity: Entity,
    item: ValueItem,
    expected: Expected | null,
    label: string,
    distance: number,
    sort: string,
  ): void {
    const library = item.placement.file.startsWith('library:');
    const data: CompletionData = {
      ...this.data,
      entity: entity.key,
      name: item.name,
      ...(library ? { library: true } : {}),
    };
    if (item.parameters) {
      const detail = `(${item.parameters.map(parameter => (typeText(parameter.type) ? `${parameter.name}: ${typeText(parameter.type)}` : parameter.name)).join(', ')})${item.type ? `: ${typeText(item.type)}` : ''}`;
      return this.add(label, KIND.function, `${sort}${fit(this.resultDimension(entity, item), expected)}${distance}`, {
        detail,
        data,
        ...this.call(label, item.parameters),
      });
    }
    const value = this.context.project.view.evaluation.valueOf(entity, item.name);
    const detail = this.printed(value);
    this.add(
      label,
      value?.kind === 'table' ? KIND.function : item.kind === 'let' ? KIND.variable : KIND.field,
      `${sort}${fit(dimensionOf(value), expected)}${distance}`,
      { ...(detail ? { detail } : {}), data },
    );
  }

  private printed(value: Value | undefined): string | undefined {
    if (!value || value.kind === 'poison') return undefined;
    const { evaluation } = this.context.project.view;
    return value.kind === 'quantity' && value.node >= evaluation.arena.size
      ? dimensionName(value.dimension)
      : printValue(node => evaluation.number(node), value);
  }

  /** A call with its parameters as places to fill in. */
  private call(
    label: string,
    parameters: readonly Pick<Parameter, 'name'>[],
  ): { insert?: string; insertTextFormat?: 2 } {
    if (/^\s*\(/.test(this.after)) return {};
    if (!this.context.settings.snippets) return { insert: `${label}(` };
    const several = parameters.length > 1;
    return {
      insert: `${label}(${parameters.map(({ name }, i) => `${several ? `${name} = ` : ''}\${${i + 1}${name ? `:${name}` : ''}}`).join(', ')})`,
      insertTextFormat: 2,
    };
  }

  private parameterDimension(parameter: Parameter, entity: Entity): Expected | null {
    return parameter.type && entity.declaration.values[0]
      ? dimensionOf(this.scene.elaborator(entity.declaration.values[0], entity).typed(parameter.type, parameter.id))
      : null;
  }

  /** What a formula gives: as it says, else as it comes out for some caller. */
  private resultDimension(entity: Entity, item: ValueItem): Expected | null {
    const known = RESULTS.get(item);
    if (known !== undefined) return known;
    const elaborator = this.scene.elaborator(item, entity);
    const found = dimensionOf(
      item.type
        ? elaborator.typed(item.type, item.id)
        : elaborator.expression(item.value, this.scene.environment(entity, item)),
    );
    RESULTS.set(item, found && { dimension: found.dimension, point: found.point });
    return RESULTS.get(item)!;
  }
}

/** Texts with places to fill in, and the word that each begins with. */
const SNIPPETS = Object.values(snippets).map(({ prefix, description, body }) => ({
  prefix,
  description,
  text: body.join('\n'),
  begins: /^\w+/m.exec(body.join('\n'))![0],
}));

const RESULTS = new WeakMap<ValueItem, Expected | null>();
const USUAL_UNITS = [
  'mm',
  'm',
  'kg',
  'g',
  'N',
  'kN',
  'MPa',
  'GPa',
  'Pa',
  'degC',
  'K',
  's',
  'Hz',
  'g0',
  'W',
  'N*m',
  '%',
  'deg',
  'mm^2',
  'in',
  'lbf',
  'lbm',
  'psi',
];

const LONGEST_LOOK = 4_000;

/** Values that the text of a block declares, up to its end, each with the line behind its `=`. */
function namesIn(text: string): { name: string; text: string }[] {
  const found: { name: string; text: string }[] = [];
  const { tokens } = tokenize(text);
  let depth = 0;
  for (let i = 0; i < tokens.length && depth >= 0; i++) {
    const type = typeOf(tokens[i]);
    if (type === '{' || type === '(' || type === '[') depth++;
    else if (type === '}' || type === ')' || type === ']') depth--;
    if (depth === 0 && type === 'NAME' && typeOf(tokens[i + 1]) === '=')
      found.push({ name: tokens[i]!.image, text: /^[^\n]*/.exec(text.slice(endOf(tokens[i + 1]!)))![0].trim() });
  }
  return found;
}

/** 0 where the dimension is the one that is due, 1 where nothing is known, 3 where it is another. */
function fit(found: Expected | null, expected: Expected | null): number {
  if (!expected || !found) return 1;
  return found.dimension === expected.dimension && found.point === expected.point ? 0 : 3;
}

const rank = (i: number): string => String(i).padStart(2, '0');

/** The letters of what was typed, in their order. */
function matches(label: string, word: string): boolean {
  if (word === '') return true;
  const [text, wanted] = [label.toLowerCase(), word.toLowerCase()];
  let at = -1;
  for (const letter of wanted) if ((at = text.indexOf(letter, at + 1)) < 0) return false;
  return true;
}

function offsetBehindWord(text: string, offset: number): number {
  return offset + /^[\p{L}\p{N}_]*/u.exec(text.slice(offset, offset + 100))![0].length;
}

/** The word that a list of names belongs to: `for A-1, A-2|`; null where none governs the caret. */
function governor(caret: Caret, block: Frame): string | null {
  const { tokens } = caret;
  let at = tokens.length - 1;
  if (!['NAME', 'LABEL', ',', '.'].includes(typeOf(tokens[at])) && at > block.statement - 1)
    return governs(typeOf(tokens[at])) ? typeOf(tokens[at]) : null;
  if (typeOf(tokens[at]) !== ',') return null;
  while (at > block.statement && ['NAME', 'LABEL', ',', '.'].includes(typeOf(tokens[at]))) at--;
  return governs(typeOf(tokens[at])) ? typeOf(tokens[at]) : null;
}

/** Whether names or choices of its own stand behind a word. */
function governs(word: string): boolean {
  return word === 'free' || word === 'basis' || word === 'maturity' || word in HEADS || NAMING.has(word);
}

const NAMING: ReadonlySet<string> = new Set(WORDS.filter(({ names }) => names).map(({ word }) => word));

/** Where the expression begins that ends before token `end`. */
function expressionStart(caret: Caret, end: number): number {
  let depth = 0;
  for (let at = end - 1; at >= 0; at--) {
    const type = typeOf(caret.tokens[at]);
    if (type === ')' || type === ']' || type === '}') depth++;
    else if (type === '(' || type === '[' || type === '{') {
      if (depth === 0) return at + 1;
      depth--;
    } else if (depth === 0 && ['=', ',', ':', '->', 'then', 'else', '<=', '>=', '<', '>', 'check'].includes(type))
      return at + 1;
  }
  return 0;
}

function nearest(entity: Entity, kind: string): Entity | null {
  for (let at: Entity | null = entity; at; at = at.parent) if (at.kind === kind) return at;
  return null;
}

/** The label after the last one of its kind in the file, free in the project. */
function nextLabel(context: FeatureContext, kind: string): string | null {
  let last: Entity | null = null;
  for (const entity of context.project.namespace.entitiesOf(kind)) {
    if (entity.template || entity.declaration.placement.file !== context.file || !/\d$/.test(entity.name)) continue;
    if (
      !last ||
      entity.declaration.placement.start + entity.declaration.spans[0]! >
        last.declaration.placement.start + last.declaration.spans[0]!
    )
      last = entity;
  }
  return last ? freeLabel(last.name, name => context.project.namespace.named(name).size > 0) : null;
}
