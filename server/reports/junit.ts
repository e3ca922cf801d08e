import type { CheckReport, DiagnosticReport, RequirementReport, Severity } from './check-report.js';

export interface JunitOptions {
  /** Findings at or above it are errors; default `error`. */
  readonly severity?: Severity;
}

type Outcome = 'failure' | 'skipped' | 'error';

interface TestCase {
  readonly name: string;
  readonly suite: string;
  readonly outcome: {
    readonly element: Outcome;
    readonly type: string;
    readonly message: string;
    readonly detail: string;
  } | null;
}

const severities: readonly Severity[] = ['error', 'warning', 'information', 'hint'];
const projectSuite = 'project';
const findingsSuite = 'findings';

/**
 * The report as JUnit XML: a suite per part, a case per requirement. Failing and undetermined are failures; waived,
 * lapsed and unverified are skipped, since they are neither failed nor proven; only verified is a plain pass.
 */
export function renderJunit(report: CheckReport, { severity = 'error' }: JunitOptions = {}): string {
  const worst = severities.slice(0, severities.indexOf(severity) + 1);
  const cases = [
    ...report.requirements.map(requirementCase),
    ...report.diagnostics.filter(diagnostic => worst.includes(diagnostic.severity)).map(findingCase),
  ];
  const suites = [...new Set(cases.map(each => each.suite))].map(name =>
    suite(
      name,
      cases.filter(each => each.suite === name),
    ),
  );
  const name = report.project?.name ?? report.tool.name;
  return `<?xml version="1.0" encoding="UTF-8"?>\n<testsuites name="${escape(name)}" ${counts(cases)}>\n${suites.join('')}</testsuites>\n`;
}

function requirementCase(requirement: RequirementReport): TestCase {
  const { label, text, part, status, reasons } = requirement;
  const outcome =
    status === 'verified'
      ? null
      : {
          element: status === 'failing' || status === 'undetermined' ? ('failure' as const) : ('skipped' as const),
          type: status,
          message: reasons.join(' ') || status,
          detail: `${text}\n${requirement.file}:${requirement.line}`,
        };
  return { name: label, suite: part ?? projectSuite, outcome };
}

function findingCase({ code, severity, message, file, range: { start } }: DiagnosticReport): TestCase {
  const place = `${file}:${start.line + 1}:${start.character + 1}`;
  return {
    name: `${code} at ${place}`,
    suite: findingsSuite,
    outcome: { element: 'error', type: severity, message, detail: place },
  };
}

function suite(name: string, cases: readonly TestCase[]): string {
  return `  <testsuite name="${escape(name)}" ${counts(cases)}>\n${cases.map(testCase).join('')}  </testsuite>\n`;
}

function testCase({ name, suite, outcome }: TestCase): string {
  const head = `    <testcase classname="${escape(suite)}" name="${escape(name)}"`;
  if (outcome === null) return `${head}/>\n`;
  const { element, type, message, detail } = outcome;
  const attributes =
    element === 'skipped'
      ? `message="${escape(`${type}: ${message}`)}"`
      : `type="${escape(type)}" message="${escape(message)}"`;
  const content = element === 'skipped' ? '/>' : `>${escape(detail)}</${element}>`;
  return `${head}>\n      <${element} ${attributes}${content}\n    </testcase>\n`;
}

function counts(cases: readonly TestCase[]): string {
  const count = (element: Outcome) => cases.filter(each => each.outcome?.element === element).length;
  return `tests="${cases.length}" failures="${count('failure')}" errors="${count('error')}" skipped="${count('skipped')}"`;
}

/** Characters that XML 1.0 cannot hold, and those that steer a terminal, become U+FFFD. */
function escape(text: string): string {
  return text
    .replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\ufffe\uffff]|\p{Surrogate}/gu, '\ufffd')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
    .replaceAll('\n', '&#10;');
}
