/** What messages about a check's governing row say. */
import type { CheckResult } from '../engine/margin.js';
import { printSides } from '../engine/explain.js';
import type { RequirementResult } from '../engine/verification.js';
import type { ConfigurationView } from './rule.js';

export function checkData(result: RequirementResult, check: CheckResult, configuration: ConfigurationView): Record<string, string> {
  const governing = check.governing!;
  const sides = printSides(configuration.evaluation, governing);
  return {
    label: result.entity.label, mode: check.item.mode ? ` in ${check.item.mode}` : '', applied: sides.applied, allowable: sides.allowable, margin: sides.margin,
    configuration: configuration.name ? ` (configuration ${configuration.name})` : '', part: result.entity.part?.path ?? '', reading: check.reading === 'nominal' ? '' : ` (${check.reading})`,
  };
}

