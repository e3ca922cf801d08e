/** What proves each requirement, and what that rests on, as text. */
import type {
  AssumptionReport,
  CheckReport,
  EvidenceReport,
  LoadEventReport,
  MethodEntry,
  RequirementReport,
} from './check-report.js';
import type { Column } from './table.js';
import { layoutTable } from './table.js';
import { hanging, plain, prose, statusText, type Context } from './text-layout.js';

const INDENT = 2;
const NAMES = 18;

/** Each requirement with its source, the methods with what closed them or is missing, its loads and assumptions. */
export function proofSection(report: CheckReport, context: Context): string[] {
  const { requirements } = report;
  if (requirements.length === 0) return [];
  const chain = new Chain(report);
  return [
    context.palette.heading('REQUIREMENTS, each with its source and its proof'),
    ...requirements.flatMap(requirement => requirementLines(requirement, chain, context)),
  ];
}

function requirementLines(requirement: RequirementReport, chain: Chain, { width, palette }: Context): string[] {
  const { label, status, text, part, source, parents, methods, waiver, loads, assumptions } = requirement;
  const word = statusText(status);
  const [first = '', ...rest] = hanging(
    `${plain(label)} ${word}: `,
    prose(text) + (part ? ` (${plain(part)})` : ''),
    width,
    INDENT,
  );
  const line = (name: string, said: string): string[] =>
    said ? hanging(' '.repeat(INDENT) + name.padEnd(NAMES), prose(said), width) : [];
  return [
    first.replace(word, palette[status](word)),
    ...rest,
    ...line('source', source ?? ''),
    ...line('parent', parents.join(', ')),
    ...methods.flatMap(method => line(method.method, chain.proof(method))),
    ...line('waiver', waiver ?? ''),
    ...line('loads', loads.map(name => chain.load(name)).join('; ')),
    ...assumptions.flatMap(name => line('assumes', chain.assumption(name))),
  ];
}

/** Evidence, articles and lots by their labels, to be said in one line. */
class Chain {
  private readonly evidence: ReadonlyMap<string, EvidenceReport>;
  private readonly events: ReadonlyMap<string, LoadEventReport>;
  private readonly assumptions: ReadonlyMap<string, AssumptionReport>;

  constructor(private readonly report: CheckReport) {
    this.evidence = new Map(report.evidence.map(each => [each.label, each]));
    this.events = new Map(report.loadEvents.map(each => [each.name, each]));
    this.assumptions = new Map(report.assumptions.map(each => [each.label, each]));
  }

  proof({ closed, by, evidence, open, article, level, milestone }: MethodEntry): string {
    const due = milestone && `by ${milestone}`;
    if (!closed) return [`OPEN${due ? `, ${due}` : ''}`, open.join('; ')].filter(Boolean).join(': ');
    const asked = [article && `on ${article}`, level && `at ${level} level`, due].filter(Boolean).join(' ');
    const closing = evidence.length > 0 ? evidence.map(label => this.shown(label)).join('; ') : (by ?? 'closed');
    return `${asked ? `${asked}: ` : ''}${closing}`;
  }

  load(name: string): string {
    const source = this.events.get(name)?.source;
    return source ? `${name} (${source})` : name;
  }

  assumption(label: string): string {
    const known = this.assumptions.get(label);
    if (!known) return label;
    const why = [known.rationale?.replace(/\.$/, ''), known.source].filter(Boolean).join('; ');
    return `${label} ${known.text}${why ? ` (${why})` : ''}`;
  }

  /** "TR-230 of 2027-02-24, pass, on SN-QM from L-2291 (certs/L-2291.txt)". */
  private shown(label: string): string {
    const known = this.evidence.get(label);
    if (!known) return label;
    const on = known.articles.map(article => this.built(article)).join(', ');
    return [`${label}${known.date ? ` of ${known.date}` : ''}`, known.result, on && `on ${on}`]
      .filter(Boolean)
      .join(', ');
  }

  private built(label: string): string {
    const lots = this.report.articles.find(article => article.label === label)?.lots ?? [];
    return lots.length > 0 ? `${label} from ${lots.map(lot => this.certified(lot)).join(', ')}` : label;
  }

  private certified(label: string): string {
    const certificate = this.report.lots.find(lot => lot.label === label)?.certificate;
    return certificate ? `${label} (${certificate})` : label;
  }
}

const evidenceColumns: readonly Column[] = [
  { title: 'Evidence' },
  { title: 'Method' },
  { title: 'Date, result' },
  { title: 'On' },
  { title: 'Report' },
  { title: 'For' },
  { title: 'Open' },
];
const articleColumns: readonly Column[] = [
  { title: 'Article' },
  { title: 'Of' },
  { title: 'Built' },
  { title: 'Lots' },
  { title: 'Open' },
];
const lotColumns: readonly Column[] = [
  { title: 'Lot' },
  { title: 'Material' },
  { title: 'Certificate' },
  { title: 'Received' },
  { title: 'Expires' },
  { title: 'Open' },
];

/** What the proofs rest on: evidence, articles, lots. */
export function evidenceSections({ evidence, articles, lots }: CheckReport, context: Context): string[][] {
  return [
    listing(
      'EVIDENCE',
      evidenceColumns,
      evidence.map(({ label, method, level, date, result, articles: on, report, requirements, open }) => [
        label,
        [method, level].filter(Boolean).join(', '),
        [date, result].filter(Boolean).join(', '),
        on.join(', '),
        report,
        requirements.join(', '),
        open.join('; '),
      ]),
      context,
    ),
    listing(
      'ARTICLES',
      articleColumns,
      articles.map(({ label, of, built, lots: from, open }) => [label, of, built, from.join(', '), open.join('; ')]),
      context,
    ),
    listing(
      'LOTS',
      lotColumns,
      lots.map(({ label, material, certificate, received, expires, open }) => [
        label,
        material,
        certificate,
        received,
        expires,
        open.join('; '),
      ]),
      context,
    ),
  ];
}

/** A table without the columns in which nothing stands. */
function listing(
  title: string,
  columns: readonly Column[],
  rows: readonly (readonly (string | null)[])[],
  { width, palette }: Context,
): string[] {
  if (rows.length === 0) return [];
  const filled = columns.map((_, i) => i).filter(i => rows.some(row => row[i]));
  const cells = rows.map(row => filled.map(i => ({ text: prose(row[i] ?? '') })));
  return [
    palette.heading(title),
    ...layoutTable(
      filled.map(i => columns[i]!),
      cells,
      width,
    ),
  ];
}
