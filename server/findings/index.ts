import { catalogue } from './generated/catalogue.js';
import { findingPages } from './generated/pages.js';
import type { FindingRule } from './rule.js';

export type {
  ConfigurationView,
  FindingRule,
  Fix,
  Found,
  ProjectView,
  Report,
  Severity,
  UsedLibraryView,
} from './rule.js';
export { at, wordMessage } from './rule.js';

export const RULES: ReadonlyMap<string, FindingRule> = new Map(catalogue.map(rule => [rule.code, rule]));

const pages = new Map(findingPages.map(({ path, text }) => [/([^/]+)\.md$/.exec(path)![1]!, { path, text }]));

/** The page of a finding, in Markdown; undefined for an unknown code. */
export function pageOf(code: string): string | undefined {
  return pages.get(code)?.text;
}

/** The folder of its page, which says what it is about. */
export function topicOf(code: string): string | undefined {
  return pages.get(code)?.path.split('/')[0];
}
