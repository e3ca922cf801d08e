import { overviewMessage, requirementsMessage } from '../../protocol/overview.js';
import { feature, type Feature } from '../feature.js';
import { overviewOf, requirementOverview } from '../overview.js';

/** Every project for the views, and the requirements of one document for the marks beside its lines. */
const features: readonly Feature[] = [
  feature(overviewMessage.method, {}, context => Promise.all([...context.projects].filter(project => project.configurations.length > 0).map(project => overviewOf(context, project)))),
  feature(requirementsMessage.method, {}, context => context.project.view.verification.index.requirements
    .filter(entity => entity.declaration.placement.file === context.file).map(entity => requirementOverview(context, context.project, entity)).filter(requirement => requirement !== null)),
];
export default features;
