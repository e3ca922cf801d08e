/** What was found, as it is shown: worded, with its severity and its place in a file. */
import type { FindingCode } from '../language/index.js';
import { firstIndex } from '../base/index.js';
import { RULES, wordMessage, type Found, type Severity } from '../findings/index.js';
import { spanOf, type LoweringProblem } from '../model/declaration.js';
import type { Reason } from '../engine/values/value.js';
import type { SyntaxProblem } from '../syntax/parser.js';
import { withDegrees } from '../units/index.js';
import type { SourcePiece } from './pieces.js';
import { slipsIn, type Slip } from './slips.js';

/** A finding as it is shown: worded, with its place in a file. */
export interface Finding {
  readonly code: FindingCode;
  readonly severity: Severity;
  readonly message: string;
  readonly file: string;
  readonly start: number;
  readonly end: number;
  readonly related: readonly {
    readonly message: string;
    readonly file: string;
    readonly start: number;
    readonly end: number;
  }[];
  readonly found: Found;
}

/** Severities that a project gives to codes; null where one is switched off. */
export type Severities = ReadonlyMap<string, Severity | null>;

/** What recovery from a syntax error may leave behind. */
const FOLLOWING: ReadonlySet<string> = new Set([
  'stray-word',
  'misplaced-statement',
  'unused-name',
  'nameless-block',
  'unknown-block',
  'condition-expected',
  'requirement-without-method',
  'requirement-without-statement',
  'part-without-mass',
]);

/** A file as its findings are worded: its text, and what in it is a label. */
export interface WordedFile {
  readonly file: string;
  readonly text: string;
  readonly pieces: readonly SourcePiece[];
  isLabel(label: string): boolean;
}

/** The findings of a file, in order, each once. */
export function wordFindings(
  { file, text, pieces, isLabel }: WordedFile,
  found: readonly Found[],
  configurations: readonly (string | null)[],
  severities: Severities,
): Finding[] {
  const findings: Finding[] = [];
  const slips = slipsIn(
    text,
    pieces.flatMap(({ placement, problems }) => problems.map(({ start }) => placement.start + start)),
  );
  for (const slip of slips) findings.push(slipFinding(file, slip, severities));
  for (const piece of pieces) {
    for (const problem of piece.problems.map(each => reworded(each, piece.text)))
      findings.push(
        syntaxFinding(
          file,
          piece,
          { code: 'syntax', start: problem.start, end: problem.end, data: syntaxData(problem) },
          severities,
        ),
      );
    for (const problem of piece.lowered.problems) findings.push(syntaxFinding(file, piece, problem, severities));
  }
  const broken = pieces.filter(piece => piece.problems.length > 0);
  const labelled = mergeConfigurations(found, configurations).map(each => withLabel(each, text, isLabel));
  for (const merged of mergeCauses(labelled)) {
    const finding = word(merged, severities);
    if (finding && !(FOLLOWING.has(finding.code) && isWithin(broken, finding.start))) findings.push(finding);
  }
  const labelEnds = new Set(labelled.map(each => startOf(each) + (each.data['label']?.length ?? NaN)));
  const seen = new Set<string>();
  return (
    findings
      .filter(finding => !slips.some(slip => follows(finding, slip)))
      // What is asked of a label is asked of its last number as long as it has no sign before it.
      .filter(({ code, start }) => code !== 'no-member' || !labelEnds.has(start - 1))
      .sort(
        (x, y) =>
          x.start - y.start ||
          x.end - y.end ||
          order(x.code, y.code) ||
          order(x.message, y.message) ||
          orderOfRelated(x.found, y.found),
      )
      .filter(finding => {
        const key = `${finding.code} ${finding.start} ${finding.end} ${finding.message}`;
        return !seen.has(key) && seen.add(key);
      })
  );
}

function slipFinding(file: string, { start, end, message, replacement }: Slip, severities: Severities): Finding {
  const placement = { file, start: 0 };
  const data = { message, 'replacement 1': replacement };
  return syntaxFinding(file, { placement }, { code: 'syntax', start, end, data }, severities);
}

/** Whether a finding follows from a slip: whatever is told in its block, and what is out of step behind it. */
function follows({ code, start, found }: Finding, slip: Slip): boolean {
  if (found.data['replacement 1'] === slip.replacement && start === slip.start) return false;
  const outOfStep = code === 'syntax' || code === 'field-outside-block' || code === 'check-outside-requirement';
  return start >= slip.headStart && start < (outOfStep ? slip.outerEnd : slip.blockEnd);
}

/** Comparisons as they are written elsewhere. */
const COMPARISONS: Readonly<Record<string, string>> = { '=>': '>=', '=<': '<=' };

function reworded(problem: SyntaxProblem, text: string): SyntaxProblem {
  const start = problem.start - 1;
  const written = text.slice(start, problem.start + 1);
  const meant = COMPARISONS[written];
  return meant === undefined
    ? problem
    : { message: `${written} is no comparison: write ${meant}.`, start, end: start + 2, replacements: [meant] };
}

/** A name that is the beginning of a label, `CG-10.mass`: with the label. */
function withLabel(found: Found, text: string, isLabel: (label: string) => boolean): Found {
  if (found.code !== 'unknown-name') return found;
  const label = /^[\p{L}_][\p{L}\p{N}_]*(?:-[\p{L}\p{N}_]+)+/u.exec(text.slice(startOf(found)))?.[0];
  return label !== undefined && isLabel(label)
    ? { ...found, data: { ...found.data, label, similar: `#${found.data['name']}` } }
    : found;
}

/** What was found alike in several configurations is one finding; it names them only where not all are concerned. */
function mergeConfigurations(all: readonly Found[], configurations: readonly (string | null)[]): Found[] {
  const groups = new Map<string, { found: Found; names: string[] }>();
  for (const found of all) {
    const { configuration = '', ...data } = found.data;
    const { start, end } = spanOf(found.place.owner, found.place.id);
    const key = JSON.stringify([found.code, start, end, data]);
    const group = groups.get(key);
    if (!group) groups.set(key, { found, names: [configuration] });
    else {
      if (!group.names.includes(configuration)) group.names.push(configuration);
      if (orderOfRelated(found, group.found) < 0) group.found = found;
    }
  }
  return [...groups.values()].map(({ found, names }) => {
    if (found.data['configuration'] === undefined) return found;
    const named = configurations.filter(name => name !== null && names.includes(name));
    const configuration =
      named.length === 0 || named.length === configurations.length
        ? ''
        : ` in configuration${named.length > 1 ? 's' : ''} ${named.join(', ')}`;
    return { ...found, data: { ...found.data, configuration } };
  });
}

/** What is the same mistake at several places is told at the first, with the others beside it. */
function mergeCauses(all: readonly Found[]): Found[] {
  const groups = new Map<string, Found[]>();
  const alone: Found[] = [];
  for (const found of all) {
    const key = causeOf(found);
    const group = key === null ? alone : groups.get(key);
    if (group) group.push(found);
    else groups.set(key!, [found]);
  }
  return [...alone, ...[...groups.values()].map(together)];
}

/**
 * A name or a unit that is missing in a statement at the top of a file, or a name from a block, is one mistake however
 * often it is read; null for what stands alone.
 */
function causeOf({ code, place: { owner }, data }: Found): string | null {
  const missing =
    code === 'unknown-name' ? (data['label'] ?? data['name']) : code === 'unknown-unit' ? data['unit'] : undefined;
  if (missing !== undefined) return JSON.stringify([code, owner.placement.start, missing]);
  return code === 'unknown-member' ? JSON.stringify([code, data['of'], data['name']]) : null;
}

function together(group: Found[]): Found {
  // Instances of one kind may have other names nearby: the same one is told, in whatever order they were found.
  const [first, ...others] = group.sort(
    (x, y) => startOf(x) - startOf(y) || order(JSON.stringify(y.data), JSON.stringify(x.data)),
  );
  const elsewhere = new Map(others.map(found => [startOf(found), found.place]));
  elsewhere.delete(startOf(first!));
  if (elsewhere.size === 0) return first!;
  const related = [...elsewhere.values()].map(place => ({ place, message: 'It is read here too.' }));
  return { ...first!, data: { ...first!.data, more: String(related.length) }, related };
}

const startOf = ({ place: { owner, id } }: Found): number => spanOf(owner, id).start;

/** What may be written instead stands in `replacement 1`, `replacement 2`, and so on. */
function syntaxData({ message, replacements = [] }: SyntaxProblem): Record<string, string> {
  return { message, ...Object.fromEntries(replacements.map((text, i) => [`replacement ${i + 1}`, text])) };
}

function syntaxFinding(
  file: string,
  { placement }: Pick<SourcePiece, 'placement'>,
  { code, start, end, data }: LoweringProblem,
  severities: Severities,
): Finding {
  const owner = { spans: [start, end], placement };
  const found: Found = { code, place: { owner, id: 0 }, data };
  return { ...(word(found, severities) ?? shown(found, 'error', data['message'] ?? code)), file };
}

function word(found: Found, severities: Severities): Finding | null {
  const own = severities.get(found.code);
  const severity = own === undefined ? (found.severity ?? RULES.get(found.code)?.severity ?? 'error') : own;
  return severity === null ? null : shown(found, severity, messageOf(found));
}

function shown(found: Found, severity: Severity, message: string): Finding {
  const related = (found.related ?? []).map(({ place, message: text }) => ({
    message: withDegrees(text),
    file: place.owner.placement.file,
    ...spanOf(place.owner, place.id),
  }));
  return {
    code: found.code,
    severity,
    message: withDegrees(message),
    file: found.place.owner.placement.file,
    ...spanOf(found.place.owner, found.place.id),
    related,
    found,
  };
}

/** What is the same but for the places beside it is told with those that come first. */
function orderOfRelated({ related: x = [] }: Found, { related: y = [] }: Found): number {
  const first = x.findIndex((one, i) => !y[i] || place(one) !== place(y[i]));
  if (first < 0) return x.length - y.length;
  return y[first] ? order(place(x[first]!), place(y[first])) : 1;
}

/** Orders places by file and offset as a text. */
function place({ place: { owner, id } }: NonNullable<Found['related']>[number]): string {
  return `${owner.placement.file} ${String(spanOf(owner, id).start).padStart(12, '0')}`;
}

function order(x: string, y: string): number {
  return x < y ? -1 : x > y ? 1 : 0;
}

function isWithin(pieces: readonly SourcePiece[], offset: number): boolean {
  const next = firstIndex(pieces.length, i => pieces[i]!.placement.start > offset);
  const piece = pieces[next - 1];
  return piece !== undefined && offset <= piece.placement.start + piece.text.length;
}

/** The message of a finding, with that of its cause behind it. */
function messageOf(found: Found): string {
  const own = worded(found.code, found.data);
  return found.cause ? `${own} ${worded(found.cause.code, found.cause.data)}`.replace(/ {2,}/g, ' ') : own;
}

function worded(code: FindingCode, data: Readonly<Record<string, string>>): string {
  return wordMessage(RULES.get(code)!.message, data);
}

/** Why a value is undetermined, in a clause: the first sentence of what a finding says of it. */
export function sayReason({ code, data }: Reason): string {
  return worded(code, data)
    .split(/(?<=[^.]\.) (?=[\p{Lu}`])/u)[0]!
    .replace(/\.$/, '');
}
