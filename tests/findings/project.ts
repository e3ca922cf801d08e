/** Small projects given as texts, and the examples of the pages of findings. */
import { readTable } from '../../server/project/data-files/read.js';
import { setSources } from '../support/sources.js';
import { Project, type Finding, type ProjectOptions } from '../../server/project/project.js';

export type Files = Readonly<Record<string, string>>;

/** A project of `.gus` texts and data files; files that it cites exist when they are among them. */
export function open(files: Files, options: Partial<ProjectOptions> = {}, folder = ''): Project {
  const project = new Project({ today: '2027-06-01', ...options });
  setSources(project, new Map(Object.entries(files).filter(([path]) => path.endsWith('.gus'))), folder);
  project.update();
  for (const { key, path, request } of project.missingData()) {
    const text = path === null ? undefined : files[path];
    project.setTable(
      key,
      text === undefined
        ? { problem: 'There is no such file.' }
        : { table: readTable(new TextEncoder().encode(text), request)! },
    );
  }
  project.update();
  project.updateProjectFindings();
  for (const path of project.unknownFiles()) project.setFileExists(path, path in files);
  project.update();
  project.updateProjectFindings();
  return project;
}

export function findingsOf(files: Files, options: Partial<ProjectOptions> = {}): Finding[] {
  const project = open(files, options);
  return project.files.flatMap(file => project.findings(file));
}

export function codesOf(files: Files, options: Partial<ProjectOptions> = {}): string[] {
  return findingsOf(files, options).map(finding => finding.code);
}

/** The example under a heading: one text, and further files fenced with their names. */
function example(page: string, heading: string): Files | null {
  const section = page.split(/^## /m).find(part => part.startsWith(`${heading}\n`));
  if (!section) return null;
  const files: Record<string, string> = {};
  for (const [, language, name, text] of section.matchAll(/^```(\w+) ?(\S*)\n([\s\S]*?)^```$/gm))
    files[name || `example.${language === 'gusset' ? 'gus' : language}`] = text!;
  return files;
}

export function readPage(page: string): { severity: string; wrong: Files | null; right: Files | null } {
  return {
    severity: /## Severity\n\n(\w+)/.exec(page)?.[1]?.toLowerCase() ?? '',
    wrong: example(page, 'Wrong'),
    right: example(page, 'Right'),
  };
}
