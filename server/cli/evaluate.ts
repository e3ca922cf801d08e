import { readTable } from '../project/data-files/read.js';
import { Outlines } from '../project/outline.js';
import { Project } from '../project/project.js';
import { gatherSources, projectFolders, sourcesBelow, type ProjectSources } from '../project/sources.js';
import { buildReport } from '../reports/build-report.js';
import type { CheckReport } from '../reports/check-report.js';
import { unknownValues } from '../reports/value-report.js';
import type { Day } from '../project/day.js';
import type { FileProblem, NodeFiles } from './node-files.js';
import { UnusableInput } from './outcome.js';
import { version } from '../../package.json';
import type { Workspace } from './workspace.js';

/** What a check is asked for. */
export interface CheckRequest {
  /** ISO date by which expiry is judged, where one was asked for. */
  readonly asOf: string | undefined;
  /** Day of the checked revision, for a project that names none. */
  readonly day: Day;
  /** By default all flight configurations. */
  readonly configurations: readonly string[] | undefined;
  /** Names of the values to report. */
  readonly values: readonly string[];
  /** Whether to report every row of every sweep. */
  readonly rows: boolean;
}

export type Evaluate = (workspace: Workspace, request: CheckRequest) => Promise<CheckReport>;

/** Opens the project of the workspace and evaluates it. */
export const evaluate: Evaluate = async (workspace, request) => {
  const { project, problems } = await openProject(workspace, request);
  const known = project.namespace.ofKind('configuration').map(entity => entity.name);
  const unknown = request.configurations?.filter(name => !known.includes(name)) ?? [];
  if (unknown.length > 0)
    throw new UnusableInput(
      `There is no configuration ${unknown.join(', ')}; the project has ${known.join(', ') || 'none'}.`,
    );
  const missing = unknownValues(project, request.values);
  if (missing.length > 0)
    throw new UnusableInput(
      missing
        .map(({ name, nearest }) => `There is no value ${name}.${nearest === null ? '' : ` Is ${nearest} meant?`}`)
        .join(' '),
    );
  const report = buildReport(project, {
    version,
    values: request.values,
    rows: request.rows,
  });
  const diagnostics = [
    ...problems.map(problem => ({
      code: 'unreadable-file',
      severity: 'error' as const,
      message: problem.message,
      file: problem.path,
      related: [],
      range: {
        start: { line: (problem.line ?? 1) - 1, character: 0 },
        end: { line: (problem.line ?? 1) - 1, character: 0 },
      },
    })),
    ...report.diagnostics,
  ];
  return {
    ...report,
    diagnostics,
    totals: {
      ...report.totals,
      diagnostics: { ...report.totals.diagnostics, error: report.totals.diagnostics.error + problems.length },
    },
  };
};

/** A project with its sources, data files and cited files read. */
export async function openProject(
  { files, folder }: Workspace,
  request: Pick<CheckRequest, 'asOf' | 'day' | 'configurations'>,
): Promise<{ project: Project; problems: readonly FileProblem[] }> {
  const project = new Project({
    today: request.day.date,
    ...(request.asOf ? { asOf: request.asOf } : {}),
    ...(request.configurations ? { configurations: request.configurations } : {}),
  });
  project.standOn(request.day);
  const problems: FileProblem[] = [];
  const sources = await readSources(files, folder, project, problems);
  if (sources.files.length === 0 && problems.length === 0)
    throw new UnusableInput(`${folder || 'This folder'} holds no .gus file.`);
  project.prepare();
  await readData(files, project);
  await lookForFiles(files, project);
  project.update();
  project.updateProjectFindings();
  return { project, problems };
}

/** Hands a project its sources and those of the libraries that it uses. */
async function readSources(
  files: NodeFiles,
  folder: string,
  project: Project,
  problems: FileProblem[],
): Promise<ProjectSources> {
  const texts = new Map<string, string>();
  const looked = new Map<string, string | null>();
  const outlines = new Outlines();
  const look = async (path: string): Promise<void> => {
    const found = await files.library(path);
    if ('message' in found) {
      looked.set(path, found.message);
      return;
    }
    looked.set(path, null);
    problems.push(...found.problems);
    for (const file of found.texts) texts.set(file.path, file.text);
  };
  await look(folder);
  const reason = looked.get(folder);
  if (reason) throw new UnusableInput(reason);
  const own = sourcesBelow(folder, texts, projectFolders(texts, outlines));
  for (;;) {
    const sources = gatherSources(own, { texts, lookedAt: path => looked.get(path) }, outlines);
    if (sources.wanted.length === 0) {
      project.setSources(sources, texts);
      return sources;
    }
    for (const path of sources.wanted) await look(path);
  }
}

async function readData(files: NodeFiles, project: Project): Promise<void> {
  for (const request of project.missingData()) {
    if (request.path === null) continue;
    const file = await files.readBytes(request.path);
    if ('message' in file) project.setTable(request.key, { problem: file.message });
    else project.setTable(request.key, { table: readTable(file.bytes, request.request)! });
  }
}

async function lookForFiles(files: NodeFiles, project: Project): Promise<void> {
  for (const path of project.unknownFiles()) project.setFileExists(path, await files.exists(path));
  for (const path of project.citedFiles()) project.setSpelling(path, await files.spelling(path));
}
