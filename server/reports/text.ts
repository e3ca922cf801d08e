import { formatMargin, formatNumber, isUnit, MASS, parseUnit, withDegrees } from '../units/index.js';
import type {
  CheckEntry,
  CheckReport,
  DiagnosticReport,
  MarginKind,
  MassReport,
  RequirementReport,
  Status,
  Totals,
} from './check-report.js';
import { statuses } from './check-report.js';
import type { Cell, Column } from './table.js';
import { layoutTable, layoutTables, wrap } from './table.js';
import { hanging, lines, paletteOf, plain, prose, statusText, type Context, type Palette } from './text-layout.js';
import { movesBetween } from './moved.js';
import { evidenceSections, proofSection } from './text-proof.js';
import { totalsLine } from './totals.js';

export interface TextOptions {
  /** Characters a line may take; default 140. */
  readonly width?: number;
  /** Paint statuses with ANSI colours, for a terminal; the words carry the meaning without. */
  readonly color?: boolean;
  /** Only what isn't verified, what was asked for, and the counts. */
  readonly brief?: boolean;
  /** The report of the check before: what moved since is told, and with `brief` nothing else but the counts. */
  readonly before?: CheckReport | undefined;
}

interface MarginRow {
  readonly requirement: RequirementReport;
  readonly check: CheckEntry;
}

interface MarginGroup {
  readonly title: string;
  readonly rows: readonly MarginRow[];
}

const caution = 'A check aid: verify independently; the launch authority and licensed practice decide.';

/** The report as plain text for a terminal, a log or a document. */
export function renderText(
  report: CheckReport,
  { width = 140, color = false, brief = false, before }: TextOptions = {},
): string {
  const context: Context = { width, palette: paletteOf(color) };
  const sections = [
    ...(brief && before ? [] : reportSections(report, brief, context)),
    ...(brief ? askedSections(report, context) : []),
    ...(before ? [movedSection(before, report, context)] : []),
    closingSection(report.totals, context),
  ];
  return `${sections
    .filter(section => section.length > 0)
    .map(section => section.join('\n'))
    .join('\n\n')}\n`;
}

function reportSections(report: CheckReport, brief: boolean, context: Context): string[][] {
  return [
    headerSection(report, context),
    ...(brief ? [] : marginSections(report, context)),
    notProvenSection(report, context),
    ...(brief ? [] : detailSections(report, context)),
  ];
}

/** What an option asks for, brief or not. */
function askedSections(report: CheckReport, context: Context): string[][] {
  return [rowsSection(report, context), valuesSection(report, context)];
}

const movedColumns: readonly Column[] = [
  { title: 'What' },
  { title: 'Before', align: 'right' },
  { title: '' },
  { title: 'After' },
  { title: 'Governing case' },
];

/** What moved from one check to the next, for whoever gets the report itself elsewhere. */
export function renderMoves(before: CheckReport, after: CheckReport, width = 140): string {
  return `${movedSection(before, after, { width, palette: paletteOf(false) }).join('\n')}\n`;
}

function movedSection(before: CheckReport, after: CheckReport, { width, palette }: Context): string[] {
  const moves = movesBetween(before, after);
  if (moves.length === 0) return ['Nothing moved.'];
  const rows = moves.map(move => [
    { text: plain(move.what) },
    { text: plain(move.before) },
    { text: '->' },
    { text: plain(move.after) },
    { text: plain(move.where) },
  ]);
  return [palette.heading('MOVED SINCE THE CHECK BEFORE'), ...layoutTable(movedColumns, rows, width)];
}

function detailSections(report: CheckReport, context: Context): string[][] {
  return [
    proofSection(report, context),
    ...evidenceSections(report, context),
    ...askedSections(report, context),
    ...massSections(report, context),
    loadsSection(report, context),
    findingsSection(report.diagnostics, context),
  ];
}

function headerSection(
  { project, asOf, asOfOrigin, configurations, libraries = [], tool }: CheckReport,
  { width, palette }: Context,
): string[] {
  const entries: readonly (readonly [string, string])[] = [
    ['Project', project ? [project.name, project.title].filter(Boolean).join(', ') : '(no project block)'],
    ['Revision', project?.revision ?? '(none given)'],
    ['As of', `${asOf} (${asOfOrigin.text})`],
    [configurations.length > 1 ? 'Configurations' : 'Configuration', configurations.join(', ') || 'base model'],
    ...libraries.map(({ name, path, project: stated, revision }): readonly [string, string] => [
      'Library',
      `${name}: ${[stated, revision === null ? null : `revision ${revision}`, `from ${path}`].filter(Boolean).join(' ')}`,
    ]),
    ['Made by', `${tool.name} ${tool.version}`],
  ];
  return [
    palette.heading('CHECK REPORT'),
    ...entries.flatMap(([name, value]) => hanging(name.padEnd(16), plain(value), width)),
  ];
}

// Margins

const marginColumns: readonly Column[] = [
  { title: 'Part' },
  { title: 'Requirement' },
  { title: 'Failure mode' },
  { title: 'Governing case' },
  { title: 'Applied', align: 'right' },
  { title: 'Allowable' },
  { title: 'Factors' },
  { title: 'Margin', align: 'right' },
  { title: 'Status' },
];

/** Where lines are short: part and mode under the requirement, the factors under the allowable. */
const compactMarginColumns: readonly Column[] = [
  { title: 'Requirement' },
  { title: 'Governing case' },
  { title: 'Applied', align: 'right' },
  { title: 'Allowable' },
  { title: 'Margin', align: 'right' },
  { title: 'Status' },
];

const compactBelow = 120;

const groupTitles: Record<MarginKind | 'undetermined' | 'mass', string> = {
  undetermined: 'MARGINS UNDETERMINED',
  strength: 'MARGINS OF STRENGTH, lowest first',
  mass: 'MARGINS OF MASS, lowest first',
  distance: 'MARGINS OF DISTANCE',
  life: 'MARGINS OF LIFE, lowest first',
  probability: 'MARGINS OF PROBABILITY, lowest first',
  boolean: 'CONDITIONS, met or not',
  unbounded: 'MARGINS UNBOUNDED (nothing acts against the allowable)',
};

function marginSections(report: CheckReport, { width, palette }: Context): string[][] {
  const groups = marginGroups(report);
  const compact = width < compactBelow;
  const cells = (row: MarginRow) => (compact ? compactMarginCells(row, palette) : marginCells(row, palette));
  const tables = layoutTables(
    compact ? compactMarginColumns : marginColumns,
    groups.map(group => group.rows.map(cells)),
    width,
  );
  return groups.map(({ title, rows }, index) => [
    palette.heading(title),
    ...tables[index]!,
    ...(title === groupTitles.mass ? wrap(toleranceNote(rows), width) : []),
  ]);
}

function toleranceNote(rows: readonly MarginRow[]): string {
  const worst = rows.some(({ check }) => check.reading === 'worst case');
  return worst
    ? 'Applied here is a mass at the worst of its tolerances; a predicted mass below is nominal where it does not say so.'
    : 'Applied here is a nominal mass: no tolerance reaches these checks.';
}

/** By kind, and distances by unit, since only like is ranked with like. */
function marginGroups(report: CheckReport): MarginGroup[] {
  const rows = report.requirements.flatMap(requirement =>
    governingChecks(requirement).map(check => ({ requirement, check })),
  );
  return (Object.keys(groupTitles) as (keyof typeof groupTitles)[]).flatMap(kind => {
    const members = rows.filter(({ check }) => groupOf(check) === kind);
    const units = [...new Set(members.map(({ check }) => check.marginUnit))].sort();
    return units.map(unit => ({
      title: kind === 'distance' ? `${groupTitles[kind]}${unit ? ` in ${unit}` : ''}, lowest first` : groupTitles[kind],
      rows: members.filter(({ check }) => check.marginUnit === unit).sort((a, b) => compareChecks(a.check, b.check)),
    }));
  });
}

function groupOf({ passes, marginKind, applied }: CheckEntry): keyof typeof groupTitles {
  if (passes === null || marginKind === null) return 'undetermined';
  return marginKind === 'strength' && applied && isMass(applied.unit) ? 'mass' : marginKind;
}

function isMass(symbol: string): boolean {
  const unit = parseUnit(symbol);
  return isUnit(unit) && unit.dimension === MASS;
}

/** Each check once: of its configurations the worst. */
function governingChecks({ checks }: RequirementReport): CheckEntry[] {
  const worst = new Map<string, CheckEntry>();
  for (const check of checks) {
    const key = `${check.line} ${check.mode} ${check.formula}`;
    const known = worst.get(key);
    if (!known || compareChecks(check, known) < 0) worst.set(key, check);
  }
  return [...worst.values()];
}

/** Failing before undetermined before passing; then the lower margin; unbounded last. */
function compareChecks(a: CheckEntry, b: CheckEntry): number {
  const order = [false, null, true];
  return order.indexOf(a.passes) - order.indexOf(b.passes) || compareMargins(a.margin, b.margin);
}

function compareMargins(a: number | null, b: number | null): number {
  if (a === b) return 0;
  return (a ?? Infinity) - (b ?? Infinity);
}

function marginCells(row: MarginRow, palette: Palette): Cell[] {
  const { requirement, check } = row;
  return [
    { text: plain(requirement.part ?? '') },
    { text: plain(requirement.label) },
    { text: plain(check.mode ?? '') },
    { text: plain(governingText(requirement, check)) },
    { text: plain(check.applied?.text ?? '') },
    { text: allowableText(check) },
    { text: check.factors.map(plain).join('\n') },
    ...outcomeCells(row, palette),
  ];
}

function compactMarginCells(row: MarginRow, palette: Palette): Cell[] {
  const { requirement, check } = row;
  return [
    { text: lines(plain(requirement.label), plain(requirement.part ?? ''), plain(check.mode ?? '')) },
    { text: plain(governingText(requirement, check)) },
    { text: plain(check.applied?.text ?? '') },
    { text: lines(allowableText(check), ...check.factors.map(plain)) },
    ...outcomeCells(row, palette),
  ];
}

function outcomeCells({ requirement, check }: MarginRow, palette: Palette): Cell[] {
  const verdict = verdictOf(requirement, check);
  const negative = check.margin !== null && check.margin < 0;
  return [
    { text: marginText(check), ...(negative ? { paint: palette.failing } : {}) },
    { text: verdictText(verdict, check.thin), paint: palette[verdict === 'passes' ? 'verified' : verdict] },
  ];
}

/** A check's own part in its requirement's status: a passing check in a failing requirement merely passes. */
function verdictOf({ status }: RequirementReport, { passes }: CheckEntry): Status | 'passes' {
  if (passes === null) return 'undetermined';
  if (!passes) return status === 'waived' ? 'waived' : 'failing';
  return status === 'lapsed' || status === 'unverified' || status === 'verified' ? status : 'passes';
}

function verdictText(verdict: Status | 'passes', thin: boolean): string {
  return `${statusText(verdict)}${thin ? ', thin' : ''}`;
}

function governingText(requirement: RequirementReport, check: CheckEntry): string {
  const configurationMatters = requirement.checks.some(
    other =>
      other.line === check.line &&
      other.mode === check.mode &&
      (other.margin !== check.margin || other.passes !== check.passes),
  );
  const configuration = configurationMatters && check.configuration ? `in ${check.configuration}` : '';
  return [check.governing, configuration].filter(Boolean).join(', ');
}

function allowableText({ relation, allowable, allowableBasis, allowableSource }: CheckEntry): string {
  const sign =
    relation === 'range' || relation === 'boolean' ? '' : relation === 'reserve' ? 'reserve >= ' : `${relation} `;
  const limit = allowable ? `${sign}${plain(allowable.text)}` : '';
  const basis = [allowableBasis && `basis ${allowableBasis}`, allowableSource]
    .filter(each => each !== null)
    .map(plain)
    .join(', ');
  return lines(limit, basis);
}

function marginText({
  margin,
  marginKind,
  marginUnit,
  passes,
}: Pick<CheckEntry, 'margin' | 'marginKind' | 'marginUnit' | 'passes'>): string {
  if (passes === null) return '';
  if (marginKind === 'boolean') return passes ? 'met' : 'not met';
  if (marginKind === 'unbounded') return 'unbounded';
  if (margin === null) return '';
  return [formatMargin(margin), marginUnit].filter(Boolean).join(' ');
}

// Requirements not proven

const notProvenColumns: readonly Column[] = [
  { title: 'Requirement' },
  { title: 'Part' },
  { title: 'Status' },
  { title: 'Statement' },
  { title: 'Why' },
];

function notProvenSection({ requirements }: CheckReport, { width, palette }: Context): string[] {
  const rows = statuses
    .filter(status => status !== 'verified')
    .flatMap(status => requirements.filter(requirement => requirement.status === status))
    .map(requirement => [
      { text: plain(requirement.label) },
      { text: plain(requirement.part ?? '') },
      { text: statusText(requirement.status), paint: palette[requirement.status] },
      { text: prose(requirement.text) },
      { text: whyText(requirement) },
    ]);
  if (rows.length === 0) return [];
  return [palette.heading('REQUIREMENTS NOT PROVEN, worst first'), ...layoutTable(notProvenColumns, rows, width)];
}

function whyText({ status, reasons, waiver, statusByConfiguration, checks, file }: RequirementReport): string {
  const byConfiguration = Object.entries(statusByConfiguration);
  const differs = byConfiguration.some(([, each]) => each !== status);
  return lines(
    ...reasons.map(plain),
    ...unique(checks.flatMap(check => placesOf(check, file))),
    ...(waiver && !reasons.some(reason => reason.includes(waiver)) ? [`Waiver ${waiver} applies.`] : []),
    ...(differs ? [`By configuration: ${byConfiguration.map(([name, each]) => `${name} ${each}`).join(', ')}.`] : []),
  );
}

/** Where a check that fails is written, or the cause of one that is undetermined. */
function placesOf({ passes, cause, line }: CheckEntry, file: string): string[] {
  if (passes === false) return [`See ${plain(file)}:${line}.`];
  return cause?.file ? [`See ${plain(cause.file)}:${cause.line}.`] : [];
}

const unique = (texts: readonly string[]): string[] => [...new Set(texts)];

// Rows of the sweeps, on request

const rowColumns: readonly Column[] = [
  { title: 'Requirement' },
  { title: 'Failure mode' },
  { title: 'Case' },
  { title: 'Applied', align: 'right' },
  { title: 'Allowable', align: 'right' },
  { title: 'Margin', align: 'right' },
  { title: 'Note' },
];

function rowsSection({ requirements, configurations }: CheckReport, { width, palette }: Context): string[] {
  const rows = requirements.flatMap(requirement =>
    requirement.checks.flatMap(check =>
      (check.rows ?? []).map(row => [
        { text: plain(requirement.label) },
        { text: plain(check.mode ?? '') },
        { text: plain([row.case, configurations.length > 1 && check.configuration].filter(Boolean).join(', ')) },
        { text: plain(row.applied?.text ?? '') },
        { text: plain(row.allowable?.text ?? '') },
        {
          text: marginText({ ...row, marginUnit: check.marginUnit }),
          ...(row.passes === false ? { paint: palette.failing } : {}),
        },
        {
          text: plain(
            [row.passes === false && 'FAILING', row.passes === null && 'undetermined', row.note]
              .filter(Boolean)
              .join(': '),
          ),
        },
      ]),
    ),
  );
  if (rows.length === 0) return [];
  return [palette.heading('ALL ROWS'), ...layoutTable(rowColumns, rows, width)];
}

// Values asked for

const valueColumns: readonly Column[] = [
  { title: 'Value' },
  { title: 'Nominal', align: 'right' },
  { title: 'Low', align: 'right' },
  { title: 'High', align: 'right' },
  { title: 'Configuration' },
];

function valuesSection({ values }: CheckReport, { width, palette }: Context): string[] {
  if (values.length === 0) return [];
  const bound = (value: number | null, unit: string) =>
    value === null ? '' : `${formatNumber(value)} ${withDegrees(unit)}`.trim();
  const rows = values.map(({ name, text, low, high, unit, configuration }) => [
    { text: name },
    { text: prose(text) },
    { text: bound(low, unit) },
    { text: bound(high, unit) },
    { text: configuration ?? 'base model' },
  ]);
  return [palette.heading('VALUES'), ...layoutTable(valueColumns, rows, width)];
}

// Mass

const massColumns: readonly Column[] = [
  { title: 'Part' },
  { title: 'Title' },
  { title: 'Count', align: 'right' },
  { title: 'Basic, kg', align: 'right' },
  { title: 'Maturity' },
  { title: 'Growth', align: 'right' },
  { title: 'Predicted, kg', align: 'right' },
];

const worstColumn: Column = { title: 'At worst, kg', align: 'right' };

const massNote = 'Each line holds all items of the part and everything below it.';
const worstNote = 'Predicted masses are nominal; at worst, every tolerance counts against the vehicle.';

function massSections({ mass }: CheckReport, { width, palette }: Context): string[][] {
  return [...new Set(mass.map(each => each.configuration))].map(configuration => {
    const parts = mass.filter(each => each.configuration === configuration);
    const decimals = massDecimals(parts);
    const tolerant = parts.some(part => part.predictedWorst !== part.predicted);
    const rows = parts.map(part => massCells(part, decimals, tolerant));
    const columns = tolerant ? [...massColumns, worstColumn] : massColumns;
    const title = `MASS BY PART${configuration ? `, configuration ${configuration}` : ''}`;
    const note = tolerant ? `${massNote} ${worstNote}` : massNote;
    return [palette.heading(title), ...layoutTable(columns, rows, width), ...wrap(note, width)];
  });
}

function massCells(
  { part, title, depth, count, basic, predicted, predictedWorst, maturity, growth }: MassReport,
  decimals: number,
  tolerant: boolean,
): Cell[] {
  const mass = (kilograms: number | null) => (kilograms === null ? 'undetermined' : kilograms.toFixed(decimals));
  const name = depth > 0 ? part.slice(part.lastIndexOf('.') + 1) : part;
  return [
    { text: `${'  '.repeat(depth)}${name}` },
    { text: plain(title ?? '') },
    { text: String(count) },
    { text: mass(basic) },
    { text: maturity ?? '' },
    { text: growth === null ? '' : `${(growth * 100).toFixed(1)} %` },
    { text: mass(predicted) },
    ...(tolerant ? [{ text: mass(predictedWorst) }] : []),
  ];
}

/**
 * One number of decimals for the whole column: three digits of the lightest part, between a gram and ten milligrams.
 */
function massDecimals(parts: readonly MassReport[]): number {
  const lightest = Math.min(...parts.flatMap(part => (part.basic ? [part.basic] : [])));
  return Number.isFinite(lightest) ? Math.min(Math.max(2 - Math.floor(Math.log10(lightest)), 3), 5) : 3;
}

// Loads

const loadsNote = 'A load is left blank where it is of another level than those that the checks of the part sweep.';

/** Parts by loads, with the holes in words. */
function loadsSection({ loads }: CheckReport, { width, palette }: Context): string[] {
  const names = [...new Set(loads.flatMap(each => Object.keys(each.loads)))];
  if (names.length === 0) return [];
  const columns = [{ title: 'Part' }, ...names.map(title => ({ title }))];
  const rows = loads.map(each => [{ text: each.part }, ...names.map(name => loadCell(each.loads[name], palette))]);
  return [palette.heading('LOADS BY PART'), ...layoutTable(columns, rows, width), ...wrap(loadsNote, width)];
}

function loadCell(use: 'swept' | 'exempt' | 'open' | undefined, palette: Palette): Cell {
  return use === 'open' ? { text: 'OPEN', paint: palette.unverified } : { text: use ?? '' };
}

// Findings

function findingsSection(diagnostics: readonly DiagnosticReport[], { width, palette }: Context): string[] {
  if (diagnostics.length === 0) return [];
  const printed = diagnostics.flatMap(({ code, severity, message, file, range: { start }, related }) => [
    ...hanging(
      `${plain(file)}:${start.line + 1}:${start.character + 1} `,
      `${severity} ${code} ${plain(message)}`,
      width,
      2,
    ).map((line, index) => (index === 0 ? line.replace(` ${severity} `, ` ${palette[severity](severity)} `) : line)),
    ...related.flatMap(each =>
      hanging(
        `  see ${plain(each.file)}:${each.range.start.line + 1}:${each.range.start.character + 1} `,
        plain(each.message),
        width,
        4,
      ),
    ),
  ]);
  return [palette.heading('FINDINGS'), ...printed];
}

function closingSection(totals: Totals, { width }: Context): string[] {
  return [...wrap(totalsLine(totals), width), ...wrap(massLine(totals), width), ...wrap(caution, width)].filter(
    Boolean,
  );
}

/** The mass of the whole: nominal, and at the worst of its tolerances where it has some. */
function massLine(totals: Totals): string {
  const { massPredicted, massWorst, massLimit, massConfiguration, massUnclear } = totals;
  if (massUnclear.length > 0)
    return `No predicted mass is told: ${massUnclear.map(plain).join(', ')} stand in no other part. Name the whole in the project block: mass_of = ….`;
  if (massPredicted === null) return '';
  const [nominal, worst] = [formatNumber(massPredicted), formatNumber(massWorst ?? massPredicted)];
  const tolerance =
    massWorst === massPredicted
      ? ''
      : worst === nominal
        ? ', nominal and at the worst of its tolerances,'
        : ` nominal, ${worst} kg at the worst of its tolerances,`;
  const predicted = `Predicted mass ${nominal} kg${tolerance}`;
  const limited = massLimit === null ? predicted : `${predicted} of ${formatNumber(massLimit)} kg allowed`;
  return `${limited.replace(/,$/, '')}${massConfiguration === null ? '' : `, in ${massConfiguration}, the heaviest configuration`}.`;
}
