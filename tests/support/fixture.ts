/**
 * Scenarios in the language with their expected values written beside them:
 *
 *     let stress = 30 N / (2 mm^2)  //= 15 MPa
 *     requirement R-1 "…" {         //~ failing -0.08 · Liftoff +axial, 40 °C
 *     check bearing: p <= p_max     //~ passing +0.12
 *     //~ #R-2/Bracket in Radar bearing: passing 0.12 ± 0.005 · 40 °C
 *     let wrong = 5 N + 3 mm
 *     //          ^^^^^^^^^^ [cannot-add]
 *
 * An expected number may carry its tolerance, `± 1e-6` in its unit or `± 0.1 %`; such a number was published or worked
 * by hand and is
 * never rewritten. Without one it holds to a relative 1e-9. Every error and warning must be expected.
 */
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import type { CheckResult, RowResult } from '../../server/engine/margin.js';
import { printMargin, printSides, printValue } from '../../server/engine/explain.js';
import type { Value } from '../../server/engine/values/value.js';
import { spanOf, type CheckItem, type ValueItem } from '../../server/model/declaration.js';
import type { Entity } from '../../server/model/namespace.js';
import type { ConfigurationView } from '../../server/findings/index.js';
import { readTable } from '../../server/project/data-files/read.js';
import { Project, type Finding, type ProjectOptions } from '../../server/project/project.js';
import { governingText } from '../../server/reports/build-report.js';
import { DIMENSIONLESS, fromSI, isUnit, parseUnit, type Unit } from '../../server/units/index.js';
import { isAttribute } from '../../server/engine/evaluation/cell.js';

export const TODAY = '2027-06-01';

/** Sources and data files by their path. */
export type Files = ReadonlyMap<string, Uint8Array>;

/** One project: a folder that holds `project.gus`, or a source by itself with the data beside it. */
export interface Scenario {
  readonly name: string;
  readonly files: Files;
  /** The sources that belong to it. */
  readonly sources: readonly string[];
}

/** Where an expectation was not met, and what its line would have to be. */
export interface Mismatch {
  readonly file: string;
  readonly line: number;
  readonly message: string;
  /** How the file would be as it says; null where an expectation may not be rewritten. */
  readonly mend: Mend | null;
}

/** A line's comment replaced, a whole line left out, or one put behind it. */
export type Mend = { readonly comment: string } | { readonly remove: true } | { readonly insert: string };

/** Every scenario below a folder. */
export function scenariosBelow(root: string, folder = ''): Scenario[] {
  const names = readdirSync(join(root, folder)).sort();
  const paths = names.map(name => (folder === '' ? name : `${folder}/${name}`));
  if (names.includes('project.gus')) {
    const files = filesBelow(root, folder);
    return [{ name: folder, files, sources: [...files.keys()].filter(path => path.endsWith('.gus')) }];
  }
  return paths.flatMap(path => {
    if (statSync(join(root, path)).isDirectory()) return scenariosBelow(root, path);
    return path.endsWith('.gus') ? [{ name: path, files: filesBelow(root, folder), sources: [path] }] : [];
  });
}

function filesBelow(root: string, folder: string): Files {
  const entries = readdirSync(join(root, folder), { recursive: true, withFileTypes: true }).filter(entry =>
    entry.isFile(),
  );
  return new Map(
    entries.map(entry => {
      const path = join(entry.parentPath, entry.name);
      return [relative(root, path).replaceAll(sep, '/'), new Uint8Array(readFileSync(path))] as const;
    }),
  );
}

/** Opens and evaluates the sources with the data they ask for. */
export function openScenario(
  { files, sources }: Pick<Scenario, 'files' | 'sources'>,
  options: Partial<ProjectOptions> = {},
): Project {
  const project = new Project({ today: TODAY, ...options });
  for (const path of sources) project.setText(path, new TextDecoder().decode(files.get(path)!));
  settle(project, files);
  return project;
}

/** Hands in what the project asks for and brings all findings up to date. */
export function settle(project: Project, files: Files): void {
  project.update();
  for (const { key, path, request } of project.missingData()) {
    const bytes = path === null ? undefined : files.get(path);
    project.setTable(key, bytes ? { table: readTable(bytes, request)! } : { problem: 'There is no such file.' });
  }
  project.update();
  project.updateProjectFindings();
  const unknown = project.unknownFiles();
  if (unknown.length === 0) return;
  for (const path of unknown) project.setFileExists(path, files.has(path));
  project.update();
  project.updateProjectFindings();
}

export function openTexts(texts: Readonly<Record<string, string>>, options: Partial<ProjectOptions> = {}): Project {
  return openScenario(
    {
      files: new Map(Object.entries(texts).map(([path, text]) => [path, new TextEncoder().encode(text)])),
      sources: Object.keys(texts).filter(path => path.endsWith('.gus')),
    },
    options,
  );
}

/** Everything in a scenario that is not as it says. */
export function checkScenario(scenario: Scenario): Mismatch[] {
  const project = openScenario(scenario);
  const studies = new Map<string, Project>();
  const viewOf = (configuration: string | null): ConfigurationView | undefined => {
    if (configuration === null) return project.view;
    const known = project.configurations.find(view => view.name === configuration);
    if (known) return known;
    if (!studies.has(configuration))
      studies.set(configuration, openScenario(scenario, { configurations: [configuration] }));
    return studies.get(configuration)!.configurations.find(view => view.name === configuration);
  };
  return scenario.sources.flatMap(file => {
    const lines = project.text(file)!.split(/\r?\n/);
    const starts = lineStarts(project.text(file)!);
    const place = new Places(project, file, starts);
    return [
      ...valueMismatches(project, file, lines, place),
      ...statusMismatches(project, viewOf, file, lines, place),
      ...findingMismatches(project.findings(file), file, lines, starts),
    ];
  });
}

// ---- where things stand ---------------------------------------------------------------------------------------------

function lineStarts(text: string): number[] {
  return [0, ...[...text.matchAll(/\n/g)].map(match => match.index + 1)];
}

function lineAt(starts: readonly number[], offset: number): number {
  return starts.findLastIndex(start => start <= offset);
}

/** What stands on a line of a file. */
class Places {
  private readonly values = new Map<number, { entity: Entity; item: ValueItem }>();
  private readonly checks = new Map<number, { entity: Entity; item: CheckItem }>();
  private readonly requirements = new Map<number, Entity>();

  constructor(project: Project, file: string, starts: readonly number[]) {
    const here = (owner: { placement: { file: string } }): boolean => owner.placement.file === file;
    const { evaluation } = project.view;
    for (const entity of [project.namespace.root, ...project.namespace.entities.values()]) {
      if (entity.kind === 'requirement' && !entity.template && here(entity.declaration))
        this.requirements.set(lineAt(starts, spanOf(entity.declaration, 2).start), entity);
      for (const cell of evaluation.cellsOf(entity)) {
        const { item } = cell;
        if (!item || !here(item) || isAttribute(cell)) continue;
        if (item.kind === 'check') this.checks.set(lineAt(starts, spanOf(item, item.id).start), { entity, item });
        else if ('value' in item) {
          // The value may end on a later line than it begins; what begins later on the line wins.
          for (
            let line = lineAt(starts, spanOf(item, item.id).start);
            line <= lineAt(starts, spanOf(item, item.value.id).end);
            line++
          )
            this.values.set(line, { entity, item });
        }
      }
    }
  }

  value(line: number): { entity: Entity; item: ValueItem } | undefined {
    return this.values.get(line);
  }

  check(line: number): { entity: Entity; item: CheckItem } | undefined {
    return this.checks.get(line);
  }

  requirement(line: number): Entity | undefined {
    return this.requirements.get(line);
  }
}

// ---- values ---------------------------------------------------------------------------------------------------------

function valueMismatches(project: Project, file: string, lines: readonly string[], places: Places): Mismatch[] {
  const { evaluation } = project.view;
  return lines.flatMap((text, line) => {
    const expected = /\/\/= *(.*?) *$/.exec(text)?.[1];
    if (expected === undefined) return [];
    const place = places.value(line);
    const mismatch = (message: string, comment: string | null = null): Mismatch[] => [
      { file, line, message, mend: comment === null ? null : { comment } },
    ];
    if (!place) return mismatch('no value stands on this line');
    const value = evaluation.valueOf(
      place.entity,
      evaluation.itemOf(place.entity, place.item.name) ? place.item.name : 'value',
    );
    if (!value) return mismatch(`${place.item.name} has no value`);
    const difference = compareValue(value, node => evaluation.number(node), expected);
    return difference === null
      ? []
      : mismatch(
          `${place.item.name}: expected ${expected}, got ${difference}`,
          expected.includes('±') ? null : `//= ${difference}`,
        );
  });
}

const NUMBERS = /^(?:\(([^)]*)\)|([-+]?[\d.]+(?:e[-+]?\d+)?)) *(.*)$/;

/** Null where a value is as expected, else how it would be written. */
function compareValue(value: Value, number: (node: number) => number, expected: string): string | null {
  if (
    value.kind === 'poison' ||
    ((value.kind === 'quantity' || value.kind === 'truth') && Number.isNaN(number(value.node)))
  )
    return expected === 'undetermined' ? null : 'undetermined';
  if (value.kind !== 'quantity' && value.kind !== 'vector') {
    const written = printValue(number, value);
    return written === expected ? null : written;
  }
  const [stated, tolerance] = expected.split(' ± ');
  const [, list, single, unitText] = NUMBERS.exec(stated!) ?? [];
  const unit = unitText ? parseUnit(unitText) : null;
  const sameDimension = unit ? isUnit(unit) && unit.dimension === value.dimension : value.dimension === DIMENSIONLESS;
  const nodes = value.kind === 'quantity' ? [value.node] : [...value.nodes];
  const shownIn = unit && isUnit(unit) && sameDimension ? unit : unit || !sameDimension ? value.unit : null;
  const actual = nodes.map(node => inUnit(number(node), shownIn, value.kind === 'quantity' && value.point));
  const numbers = (list ?? single ?? '').split(',').map(Number);
  const same =
    sameDimension &&
    numbers.length === actual.length &&
    numbers.every((wanted, i) => isWithin(actual[i]!, wanted, tolerance));
  return same ? null : spell(actual, shownIn, value.kind === 'vector');
}

function isWithin(actual: number, wanted: number, tolerance: string | undefined): boolean {
  const size =
    tolerance === undefined
      ? 1e-9 * Math.abs(wanted)
      : Number.parseFloat(tolerance) * (tolerance.endsWith('%') ? Math.abs(wanted) / 100 : 1);
  // The conversion to the unit of the expectation rounds too.
  return Math.abs(actual - wanted) <= size + 4e-16 * Math.abs(wanted);
}

function inUnit(si: number, unit: Unit | null, point: boolean): number {
  return unit ? fromSI(unit, si, { difference: !point }) : si;
}

function spell(numbers: readonly number[], unit: Unit | null, vector: boolean): string {
  const digits = numbers.map(number => String(Number(number.toPrecision(12)))).join(', ');
  return `${vector ? `(${digits})` : digits} ${unit?.symbol ?? ''}`.trim();
}

// ---- statuses -------------------------------------------------------------------------------------------------------

function statusMismatches(
  project: Project,
  viewOf: (configuration: string | null) => ConfigurationView | undefined,
  file: string,
  lines: readonly string[],
  places: Places,
): Mismatch[] {
  return lines.flatMap((text, line) => {
    const match = /\/\/~ *(?:#(\S+?)(?: in (\w+))?(?: (\w+))?: *)?(.*?) *$/.exec(text);
    if (!match) return [];
    const [, label, configuration, mode, expected] = match;
    const mismatch = (message: string, comment: string | null = null): Mismatch[] => [
      { file, line, message, mend: comment === null ? null : { comment } },
    ];
    const view = viewOf(configuration ?? null);
    if (!view) return mismatch(`there is no configuration ${configuration}`);
    const actual = label === undefined ? statusOnLine(view, places, line) : statusOf(view, label, mode ?? null);
    if (actual === null) return mismatch('no requirement and no check stands here');
    const shown = describeOutcome(project, view, actual, expected!);
    const head =
      label === undefined ? '' : `#${label}${configuration ? ` in ${configuration}` : ''}${mode ? ` ${mode}` : ''}: `;
    return shown === expected
      ? []
      : mismatch(`expected ${expected}, got ${shown}`, expected!.includes('±') ? null : `//~ ${head}${shown}`);
  });
}

interface Shown {
  readonly status: string;
  readonly governing: RowResult | null;
}

const ofCheck = (check: CheckResult): Shown => ({
  status: check.passes === null ? 'undetermined' : check.passes ? 'passing' : 'failing',
  governing: check.governing,
});

function statusOnLine(view: ConfigurationView, places: Places, line: number): Shown | null {
  const requirement = places.requirement(line);
  if (requirement) return view.verification.result(requirement);
  const check = places.check(line);
  const cell = check && [...view.evaluation.cellsOf(check.entity)].find(candidate => candidate.item === check.item);
  return cell ? ofCheck(view.verification.checkResult(cell)) : null;
}

function statusOf(view: ConfigurationView, label: string, mode: string | null): Shown | null {
  const requirement = view.verification.index.requirements.find(entity => entity.label === label);
  if (!requirement) return null;
  const result = view.verification.result(requirement);
  if (mode === null) return result;
  const check = result.checks.find(candidate => candidate.item.mode === mode);
  return check ? ofCheck(check) : null;
}

/**
 * As much of the outcome as the expectation states: the status, its margin (as printed, or `24.75 ± 0.01`), its
 * governing case.
 */
function describeOutcome(
  project: Project,
  view: ConfigurationView,
  { status, governing }: Shown,
  expected: string,
): string {
  const [, margin, name] = /^\S+( (?!·)[^·]*?)?( · .*)?$/.exec(expected) ?? [];
  if (!governing) return status;
  return (
    status +
    (margin === undefined ? '' : ` ${marginText(governing, margin.trim())}`) +
    (name === undefined ? '' : ` · ${governingText(project, view, governing)}`)
  );
}

function marginText(governing: RowResult, expected: string): string {
  const { unit } = printSides(governing);
  const { margin, kind } = governing;
  const [wanted, tolerance] = expected.split(' ± ').map(Number.parseFloat);
  const size = kind === 'distance' && unit ? margin / unit.factor : margin;
  return tolerance !== undefined && Math.abs(size - wanted!) <= tolerance
    ? expected
    : printMargin(governing, unit, governing.leaf?.left.dimension ?? DIMENSIONLESS);
}

// ---- findings -------------------------------------------------------------------------------------------------------

/**
 * Carets under a range, or `2..7` for one that begins under the slashes; then its code and, if one likes, words of its
 * message.
 */
const EXPECTED_FINDING = /^ *\/\/(?:( *)(\^+)|@ *(\d+)\.\.(\d+)) \[([\w-]+)\] *(.*?) *$/;

function findingMismatches(
  findings: readonly Finding[],
  file: string,
  lines: readonly string[],
  starts: readonly number[],
): Mismatch[] {
  const open = new Set(findings);
  const mismatches: Mismatch[] = [];
  let target = 0;
  lines.forEach((text, line) => {
    const match = EXPECTED_FINDING.exec(text);
    if (!match) {
      target = line;
      return;
    }
    const [, , carets, first, last, code, words] = match;
    const start = carets ? text.indexOf(carets) : Number(first);
    const end = carets ? start + carets.length : Number(last);
    const met = findings.filter(finding => {
      const range = rangeOn(finding, starts, lines);
      return (
        range.line === target &&
        range.start === start &&
        range.end === end &&
        finding.code === code &&
        finding.message.includes(words!)
      );
    });
    if (met.length === 0)
      mismatches.push({
        file,
        line,
        message: `no finding ${code} at ${target + 1}:${start + 1}–${end + 1}${words ? ` that says "${words}"` : ''}`,
        mend: { remove: true },
      });
    for (const finding of met) open.delete(finding);
  });
  for (const finding of open) {
    if (finding.severity !== 'error' && finding.severity !== 'warning') continue;
    const { line, start, end } = rangeOn(finding, starts, lines);
    const indent = /^ */.exec(lines[line]!)![0];
    const mark =
      indent +
      (start < indent.length + 2
        ? `//@ ${start}..${end}`
        : `//${' '.repeat(start - indent.length - 2)}${'^'.repeat(end - start)}`) +
      ` [${finding.code}]`;
    mismatches.push({
      file,
      line,
      message: `not expected: ${mark} ${finding.severity}: ${finding.message}`,
      mend: { insert: mark },
    });
  }
  return mismatches;
}

/** The range of a finding on the line that it begins on. */
function rangeOn(
  finding: Finding,
  starts: readonly number[],
  lines: readonly string[],
): { line: number; start: number; end: number } {
  const line = lineAt(starts, finding.start);
  const start = finding.start - starts[line]!;
  return { line, start, end: Math.max(start, Math.min(finding.end - starts[line]!, lines[line]!.length)) };
}
