import { basename, dirname, join, relative, resolve, sep } from 'node:path';
import { Command, InvalidArgumentError, Option } from 'commander';
import { troubleOnWindows, visible } from '../../base/index.js';
import type { CheckReport, Severity } from '../../reports/check-report.js';
import type { ReportFormat } from '../../reports/render.js';
import { renderers } from '../../reports/render.js';
import { renderMoves } from '../../reports/text.js';
import { isCalendarDate } from '../../protocol/calendar.js';
import type { Day } from '../../project/day.js';
import { dayOf } from '../day.js';
import type { CheckRequest, Evaluate } from '../evaluate.js';
import { evaluate } from '../evaluate.js';
import { problemOf, realPath, writeText, type NodeFiles } from '../node-files.js';
import { exitCodes, UnusableInput } from '../outcome.js';
import { ascii, asciiThroughout, complain, isPlain } from '../terminal.js';
import type { Workspace } from '../workspace.js';
import { openWorkspace } from '../workspace.js';

interface CheckOptions {
  readonly format: ReportFormat;
  readonly values?: readonly string[];
  readonly rows?: boolean;
  readonly brief?: boolean;
  readonly asOf?: string;
  readonly configuration?: readonly string[];
  readonly severity: Severity;
  readonly width?: number;
  readonly output?: string;
  readonly watch?: boolean;
  readonly root?: string;
}

const severities: readonly Severity[] = ['error', 'warning', 'information'];
const narrowest = 60;
const defaultWidth = 140;

export default checkCommand(evaluate);

export function checkCommand(evaluate: Evaluate): Command {
  return new Command('check')
    .description('evaluate a project: margins, statuses, mass and findings')
    .argument('[path]', 'folder of the project', '.')
    .addOption(new Option('--format <format>', 'form of the report').choices(Object.keys(renderers)).default('text'))
    .option('--values <names...>', 'values to report, by qualified name')
    .option('--rows', 'report every row of every sweep')
    .option('--brief', 'as text: only what is not verified, and the counts')
    .option(
      '--as-of <date>',
      'date by which expiry is judged, as 2027-04-20 (default: the date of the project, else the day of the commit, else today)',
      isoDate,
    )
    .option('--configuration <names...>', 'configurations to evaluate (default: all flight configurations)')
    .addOption(
      new Option('--severity <severity>', 'findings that make the exit code 1: this one and worse')
        .choices([...severities])
        .default('error'),
    )
    .option('--width <characters>', 'characters a line of text may take', lineWidth)
    .option('--output <file>', 'write the report to a file')
    .option('--watch', 'check again whenever a file changes, and say what moved; with --brief nothing else')
    .option(
      '--root <folder>',
      'folder that no file reference may leave (default: the repository, else the project folder)',
    )
    .action(async (path: string, options: CheckOptions) => {
      if (options.brief && options.format !== 'text') throw new UnusableInput('--brief is for --format text.');
      if (options.output !== undefined) lookAtName(options.output);
      const workspace = await openWorkspace(path, options.root);
      let before: CheckReport | undefined;
      const check = async (): Promise<void> => void (before = await checkOnce(evaluate, workspace, options, before));
      await check();
      if (options.watch) await checkOnChange(workspace, options.output, check);
    });
}

/** `before`: what the check before found, where there was one. */
async function checkOnce(
  evaluate: Evaluate,
  workspace: Workspace,
  options: CheckOptions,
  before: CheckReport | undefined,
): Promise<CheckReport> {
  const day = await dayOf(resolve(workspace.files.root, workspace.folder));
  const report = await evaluate(workspace, requestOf(options, day));
  if (day.isDoubtful && report.asOfOrigin.from === 'today')
    complain(`Judged as of ${report.asOf}, ${day.origin.text}. Say the day with --as-of.\n`);
  const toldInside = options.format === 'text' && options.output === undefined;
  await deliver(render(report, options, toldInside ? before : undefined), options.output);
  if (before && !toldInside) complain(renderMoves(before, report));
  process.exitCode = exitCodeOf(report, options.severity);
  return report;
}

function requestOf({ asOf, configuration, values = [], rows = false }: CheckOptions, day: Day): CheckRequest {
  return { asOf, day, configurations: configuration, values, rows };
}

function render(
  report: CheckReport,
  { format, severity, width, output, brief = false }: CheckOptions,
  before: CheckReport | undefined,
): string {
  const terminal = output === undefined && process.stdout.isTTY;
  const plain = format === 'text' && output === undefined && isPlain(process.stdout);
  const readable = <T>(value: T): T => (plain ? asciiThroughout(value) : value);
  const text = renderers[format](readable(report), {
    severity,
    width: width ?? (terminal ? Math.max(process.stdout.columns, narrowest) : defaultWidth),
    color: terminal && !process.env.NO_COLOR,
    brief,
    before: before && readable(before),
  });
  return plain ? ascii(text) : text;
}

/** A name that Windows does not take is refused there, and told elsewhere. */
function lookAtName(output: string): void {
  const trouble = troubleOnWindows(basename(output));
  if (trouble === null) return;
  if (process.platform === 'win32')
    throw new UnusableInput(`The report can't be written to ${output}: on Windows ${trouble}. Choose another name.`);
  complain(`${output} can't be used on Windows, where ${trouble}.\n`);
}

async function deliver(text: string, output: string | undefined): Promise<void> {
  if (output === undefined) {
    process.stdout.write(text);
    return;
  }
  try {
    await writeText(output, text);
  } catch (error) {
    throw new UnusableInput(`The report is not written: ${problemOf(output, error).message}`);
  }
}

function exitCodeOf({ totals }: CheckReport, severity: Severity): number {
  const counted = severities.slice(0, severities.indexOf(severity) + 1);
  return counted.some(each => totals.diagnostics[each] > 0) ? exitCodes.found : exitCodes.clean;
}

/** Until interrupted, then to the end of a running check; changes during one lead to one more. */
async function checkOnChange(
  { files, folder }: Workspace,
  output: string | undefined,
  check: () => Promise<void>,
): Promise<void> {
  const written = output === undefined ? undefined : await pathWithin(files, output);
  let running = Promise.resolve();
  return new Promise((done, failed) => {
    const stop = files.watch(
      folder,
      paths => {
        const others = paths.filter(path => path !== written);
        if (others.length === 0) return;
        running = running.then(() => checkAgain(others, check));
        running.catch(failed);
      },
      message => process.stderr.write(`${message}\n`),
    );
    process.once('SIGINT', () => {
      stop();
      running.then(done, failed);
    });
  });
}

/** As a watch tells it, whatever links lead to its folder. */
async function pathWithin({ root }: NodeFiles, output: string): Promise<string> {
  const full = resolve(output);
  const folder = await realPath(dirname(full)).catch(() => dirname(full));
  return relative(root, join(folder, basename(full))).replaceAll(sep, '/');
}

/** Input that cannot be used right now may be mended by the next change. */
async function checkAgain(changed: readonly string[], check: () => Promise<void>): Promise<void> {
  complain(`\nChanged: ${visible(changed.join(', '))}\n`);
  try {
    await check();
  } catch (error) {
    if (!(error instanceof UnusableInput)) throw error;
    complain(`${visible(error.message)}\n`);
    process.exitCode = exitCodes.unusable;
  }
}

function isoDate(text: string): string {
  if (!isCalendarDate(text)) throw new InvalidArgumentError('Write a date of the calendar as 2027-04-20.');
  return text;
}

function lineWidth(text: string): number {
  const width = Number(text);
  if (!Number.isInteger(width) || width < narrowest)
    throw new InvalidArgumentError(`Write a whole number of ${narrowest} or more.`);
  return width;
}
