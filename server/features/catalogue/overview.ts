import { requirementsInOrder } from '../../engine/verification-index.js';
import type { Project } from '../../project/project.js';
import { countsMessage, overviewMessage, requirementsMessage } from '../../protocol/overview.js';
import { feature, type Feature, type FeatureContext } from '../feature.js';
import { countsOf, overviewOf, requirementOverview } from '../overview.js';

/**
 * Every project for the views, or its counts alone, and the requirements of one document for the marks beside its
 * lines.
 */
const features: readonly Feature[] = [
  feature(overviewMessage.method, {}, context =>
    Promise.all(evaluated(context).map(project => overviewOf(context, project))),
  ),
  feature(countsMessage.method, {}, context =>
    Promise.all(evaluated(context).map(project => countsOf(context, project))),
  ),
  feature(requirementsMessage.method, {}, context =>
    requirementsInOrder(context.project.view.verification.index)
      .filter(entity => entity.declaration.placement.file === context.file)
      .map(entity => requirementOverview(context, context.project, entity))
      .filter(requirement => requirement !== null),
  ),
];
export default features;

function evaluated({ projects }: FeatureContext): Project[] {
  return [...projects].filter(project => project.configurations.length > 0);
}
