/** However a project was edited, all that is shown is as if it had just been opened so. */
import { printValue } from '../../../server/engine/explain.js';
import type { Project } from '../../../server/project/project.js';
import { reportOf } from '../../properties/models.js';
import { openScenario, scenariosBelow, settle, type Files, type Scenario } from '../../support/fixture.js';
import type { Failure, Property, Random } from '../property.js';
import { folderOf, isSource, randomEdit, type Folder } from '../random-edits.js';
import { spellKey } from '../../../server/engine/evaluation/cell-key.js';
import { holdsCalculated, isAttribute } from '../../../server/engine/evaluation/cell.js';

const EDITS_A_CASE = 6;
/** Share of the cases that any project may be the ground of, and how large the others are in bytes. */
const LARGE = 0.02;
const SMALL = 6_000;

export default {
  name: 'edits',
  share: 30,
  check(random: Random): Promise<Failure | undefined> {
    const { scenarios, small } = ground();
    const steps = [folderOf(random.pick(random.next() < LARGE ? scenarios : small))];
    for (let i = 0; i < EDITS_A_CASE; i++) steps.push(...randomEdit(random, steps.at(-1)!));
    // What is stale mostly stays so until the end; what heals by itself is met on the way now and then.
    const looks = new Set([random.below(steps.length), steps.length - 1]);
    const failure = followed(steps, i => looks.has(i));
    return Promise.resolve(failure && (followed(steps) ?? failure));
  },
} satisfies Property;

/**
 * Brings a project through states of its folder, and holds it against one that is opened anew after each, or after
 * those that are to be looked at.
 */
export function followed(steps: readonly Folder[], isLookedAt = (_: number): boolean => true): Failure | undefined {
  const project = opened(steps[0]!);
  for (let i = 0; i < steps.length; i++) {
    if (i > 0) bring(project, steps[i - 1]!, steps[i]!);
    const reason = isLookedAt(i) ? difference(shown(project), shownFresh(steps[i]!), '') : null;
    if (reason !== null) return { reason, files: written(steps.slice(0, i + 1)) };
  }
  return undefined;
}

/** Undone edits lead back to where others began. */
const fresh = new WeakMap<Folder, unknown>();

function shownFresh(folder: Folder): unknown {
  const known = fresh.get(folder) ?? shown(opened(folder));
  fresh.set(folder, known);
  return known;
}

function opened(folder: Folder): Project {
  return openScenario({ files: filesOf(folder), sources: [...folder.keys()].filter(isSource).sort() });
}

function bring(project: Project, before: Folder, after: Folder): void {
  for (const path of new Set([...before.keys(), ...after.keys()])) {
    if (before.get(path) === after.get(path)) continue;
    if (isSource(path)) project.setText(path, after.get(path) ?? null);
    else project.forgetData(path);
    project.setFileExists(path, after.has(path));
  }
  settle(project, filesOf(after));
}

/** Bytes are kept as characters of one byte each: data need not be text. */
function filesOf(folder: Folder): Files {
  return new Map([...folder].map(([path, text]) => [path, Buffer.from(text, isSource(path) ? 'utf8' : 'latin1')]));
}

/** Each state, as far as it differs from the one before, with its number before the path. */
function written(steps: readonly Folder[]): Record<string, string> {
  return Object.fromEntries(
    steps.flatMap((folder, i) =>
      [...new Set([...folder.keys(), ...(steps[i - 1]?.keys() ?? [])])]
        .filter(path => folder.get(path) !== steps[i - 1]?.get(path))
        .map(path => [`${i}-${path.replaceAll('/', '-')}${folder.has(path) ? '' : '.gone'}`, folder.get(path) ?? '']),
    ),
  );
}

// ---- what is shown --------------------------------------------------------------------------------------------------

/** The report with every row and finding, and every value in every configuration. */
function shown(project: Project): unknown {
  return JSON.parse(JSON.stringify({ report: reportOf(project), values: valuesOf(project) }));
}

function valuesOf(project: Project): Record<string, string> {
  const values = project.configurations.flatMap(({ name, evaluation }) =>
    [...evaluation.allCells()]
      .filter(cell => cell.entity !== evaluation.library.root && holdsCalculated(cell) && !isAttribute(cell))
      .map(cell => [
        `${name ?? ''} ${cell.entity.key}#${spellKey(cell.key)}`,
        printValue(node => evaluation.number(node), cell.value),
      ]),
  );
  return Object.fromEntries(values) as Record<string, string>;
}

/** The first place where two are different, edited and fresh; null where there is none. */
function difference(edited: unknown, fresh: unknown, path: string): string | null {
  if (Object.is(edited, fresh) || (typeof edited === 'number' && isAlike(edited, fresh))) return null;
  if (!isTree(edited) || !isTree(fresh)) return `${path}: ${JSON.stringify(edited)}, fresh ${JSON.stringify(fresh)}`;
  for (const key of new Set([...Object.keys(edited), ...Object.keys(fresh)])) {
    const found = difference(edited[key], fresh[key], `${path}/${key}`);
    if (found !== null) return found;
  }
  return null;
}

/** Sums may be taken in another order. */
const isAlike = (x: number, y: unknown): boolean =>
  typeof y === 'number' && Math.abs(x - y) <= 1e-11 * Math.max(1, Math.abs(x));

const isTree = (value: unknown): value is Record<string, unknown> => typeof value === 'object' && value !== null;

// ---- what is edited -------------------------------------------------------------------------------------------------

interface Ground {
  readonly scenarios: readonly Scenario[];
  readonly small: readonly Scenario[];
}

let known: Ground | undefined;

function ground(): Ground {
  const scenarios = known?.scenarios ?? [...scenariosBelow('examples'), ...scenariosBelow('tests/fixtures')];
  known ??= { scenarios, small: scenarios.filter(scenario => sizeOf(scenario) <= SMALL) };
  return known;
}

function sizeOf({ files, sources }: Scenario): number {
  return sources.reduce((sum, path) => sum + files.get(path)!.length, 0);
}
