/**
 * Where a value comes from travels with it: whatever moves when an input is perturbed is open while that input is to be
 * confirmed, and undetermined while it is to be determined.
 */
import type { RequirementResult, Status } from '../../server/engine/verification.js';
import { spanOf, type ValueItem } from '../../server/model/declaration.js';
import { walk, type NumberLiteral } from '../../server/model/expression.js';
import type { Project } from '../../server/project/project.js';

/** A number written in the value of something, with the text around it. */
export interface Input {
  readonly file: string;
  readonly name: string;
  readonly item: ValueItem;
  readonly literal: NumberLiteral;
}

/** Every number in the values of a project that `tbc` could be said of. */
export function inputsOf(project: Project): Input[] {
  const found: Input[] = [];
  for (const entity of [project.namespace.root, ...project.namespace.entities.values()]) {
    if (entity.template) continue;
    for (const [name, item] of entity.values) {
      if (item.kind === 'unit' || item.kind === 'override' || item.annotations.tbc) continue;
      if (entity.base && entity.base.values.get(name) === item) continue;
      const { file } = item.placement;
      walk(item.value, node => {
        if (node.kind === 'number') found.push({ file, name: `${entity.path}.${name}`, item, literal: node });
      });
    }
  }
  return found;
}

/** What a requirement shows in each configuration: its own verdicts, by the row that governs each check. */
type Shown = ReadonlyMap<string, { readonly verdicts: string; readonly status: Status }>;

function shown(project: Project): Shown {
  return new Map(
    project.configurations.flatMap(({ name, verification }) =>
      verification.index.requirements.map(requirement => {
        const result = verification.result(requirement);
        return [`${requirement.label} ${name}`, { verdicts: verdictsOf(result), status: result.status }] as const;
      }),
    ),
  );
}

function verdictsOf({ checks }: RequirementResult): string {
  return checks
    .map(
      ({ governing, passes, rowCount }) =>
        `${rowCount} ${passes} ${governing?.margin} ${governing?.left} ${governing?.right}`,
    )
    .join(' | ');
}

/** What is wrong when one input is perturbed, to be confirmed, to be determined; empty where all is as it should be. */
export function violations(project: Project, { file, name, item, literal }: Input): string[] {
  const text = project.text(file)!;
  const number = spanOf(item, literal.id);
  const value = spanOf(item, item.value.id);
  const before = shown(project);
  const variant = (edited: string): Shown => {
    project.setText(file, edited);
    project.update();
    return shown(project);
  };
  const replaced = (by: string): string => text.slice(0, number.start) + by + text.slice(number.end);
  const unit = literal.unitText === null ? '' : ` ${literal.unitText}`;
  const perturbed = variant(replaced(`${perturb(literal.text)}${unit}`));
  // A closing bracket is no part of the value that it stands round.
  const end = value.end + /^\)*/.exec(text.slice(value.end))![0].length;
  const confirmed = variant(`${text.slice(0, end)} tbc${text.slice(end)}`);
  const determined = variant(replaced(`TBD${unit}`));
  project.setText(file, text);
  project.update();
  return [...before].flatMap(([key, { verdicts }]) => {
    if (perturbed.get(key)?.verdicts === verdicts) return [];
    const [open, unknown] = [confirmed.get(key)?.status, determined.get(key)?.status];
    return [
      ...(open === 'verified'
        ? [`${key} moves with ${literal.text}${unit} in ${name}, and is verified while that is tbc`]
        : []),
      ...(unknown !== 'undetermined' && unknown !== 'failing'
        ? [`${key} moves with ${literal.text}${unit} in ${name}, and is ${unknown} while that is TBD`]
        : []),
    ];
  });
}

/** A little more; one more where it counts something. */
function perturb(text: string): string {
  const number = Number(text);
  return Number.isInteger(number) && Math.abs(number) < 20 ? String(number + 1) : String(number * 1.013);
}
