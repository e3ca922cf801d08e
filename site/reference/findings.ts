/** The index of findings, by topic. Each has a page of its own. */
import { RULES, topicOf } from '../../server/findings/index.js';
import type { Page } from '../page.js';

/** Titles of the folders that findings stand in, in the order of the page. */
const TOPICS: Readonly<Record<string, string>> = {
  margins: 'Margins and checks',
  factors: 'Factors and allowables',
  loads: 'Loads, cases and sweeps',
  requirements: 'Requirements',
  proof: 'Evidence, lots and articles',
  mass: 'Mass and frames',
  units: 'Units and dimensions',
  temperatures: 'Temperatures',
  tolerances: 'Tolerances',
  tables: 'Tables and data files',
  calculations: 'Formulas and calculations',
  names: 'Names and blocks',
  libraries: 'Libraries',
  texts: 'Texts and files',
};

export function findingsPage(): Page {
  const codes = [...RULES.keys()];
  const row = (code: string): string => {
    const { title, severity } = RULES.get(code)!;
    return `| [\`${code}\`](${topicOf(code)}/${code}.md) | ${title} | ${severity} |`;
  };
  const topics = [...new Set([...Object.keys(TOPICS), ...codes.map(code => topicOf(code)!)])];
  const sections = topics.map(topic => {
    const rows = codes.filter(code => topicOf(code) === topic).map(row);
    return [
      `## ${TOPICS[topic] ?? topic}\n`,
      '| code | what is wrong | severity |',
      '| --- | --- | --- |',
      ...rows,
    ].join('\n');
  });
  return {
    path: 'findings/index.html',
    source: 'docs/findings/README.md',
    title: 'Findings',
    group: 'Reference',
    markdown: [
      '# Findings',
      `What Gusset finds in a project, by topic: ${RULES.size} in all. The page of each shows it wrong and right. \`gusset explain CODE\` prints the same, and \`severity\` in the project block changes how one is told.`,
      ...sections,
    ].join('\n\n'),
  };
}
