import { readTable } from '../project/csv.js';
import { joinPath, partition } from '../project/paths.js';
import { Project } from '../project/project.js';
import { buildReport } from '../reports/build-report.js';
import type { CheckReport } from '../reports/check-report.js';
import type { Day } from './day.js';
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
  const report = buildReport(project, {
    version,
    dayOrigin: request.day.origin,
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
  const problems: FileProblem[] = [];
  const texts = await readSources(files, folder, problems);
  if (texts.size === 0 && problems.length === 0)
    throw new UnusableInput(`${folder || 'This folder'} holds no .gus file.`);
  for (const [path, text] of texts) project.setText(path, text);
  project.prepare();
  await readData(files, project);
  await lookForFiles(files, project);
  project.update();
  project.updateProjectFindings();
  return { project, problems };
}

/** The sources of the project in `folder` and of the folders it uses. Projects in folders below are their own. */
async function readSources(files: NodeFiles, folder: string, problems: FileProblem[]): Promise<Map<string, string>> {
  const texts = new Map<string, string>();
  const folders = [folder];
  for (const each of folders) {
    const list = await files.sources(each);
    problems.push(...list.problems);
    const here = new Map<string, string>();
    for (const path of list.paths) {
      if (texts.has(path)) continue;
      const file = await files.readText(path);
      if ('message' in file) problems.push(file);
      else here.set(path, file.text);
    }
    for (const [root, paths] of partition(here)) {
      const own = root === each || root === '' || (!root.startsWith(`${each}/`) && each !== '');
      if (own) for (const path of paths) texts.set(path, here.get(path)!);
    }
    for (const [path, text] of texts) {
      for (const [, used] of text.matchAll(/^[ \t]*use[ \t]+"([^"\n]+)"/gm)) {
        const target = joinPath(path.includes('/') ? path.slice(0, path.lastIndexOf('/')) : '', used!);
        if (target === null)
          problems.push({ path, line: null, message: `use "${used}" leads out of the workspace and is not followed.` });
        else if (!folders.includes(target)) folders.push(target);
      }
    }
  }
  return texts;
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
}
