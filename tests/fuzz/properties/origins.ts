/** What moves with an input is open while that is to be confirmed, and undetermined while it is to be determined. */
import type { Project } from '../../../server/project/project.js';
import { inputsOf, violations, type Input } from '../../properties/provenance.js';
import { openScenario, scenariosBelow } from '../../support/fixture.js';
import type { Failure, Property, Random } from '../property.js';

interface Ground {
  readonly project: Project;
  readonly inputs: readonly Input[];
}

const grounds: Ground[] = [];

/** Every example and scenario that has inputs, opened once: a case leaves its project as it was. */
function opened(): readonly Ground[] {
  if (grounds.length === 0)
    for (const scenario of [...scenariosBelow('examples'), ...scenariosBelow('tests/fixtures')]) {
      const project = openScenario(scenario);
      const inputs = inputsOf(project);
      if (inputs.length > 0) grounds.push({ project, inputs });
    }
  return grounds;
}

export default {
  name: 'origins',
  check(random: Random): Promise<Failure | undefined> {
    const { project, inputs } = random.pick(opened());
    const [reason] = violations(project, random.pick(inputs));
    const files = Object.fromEntries(project.files.map(file => [file.replaceAll('/', '-'), project.text(file)!]));
    return Promise.resolve(reason === undefined ? undefined : { reason, files });
  },
} satisfies Property;
