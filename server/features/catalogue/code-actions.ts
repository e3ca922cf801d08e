import type { CodeAction, Range } from 'vscode-languageserver-types';
import type { Place } from '../../engine/values/value.js';
import { RULES, type Fix, type Found } from '../../findings/index.js';
import { spanOf } from '../../model/declaration.js';
import { LIBRARY, type Finding } from '../../project/project.js';
import { diagnosticOf } from '../diagnostics.js';
import { feature, workspaceEdit, type FeatureContext, type TextEditAt } from '../feature.js';
import { convertUnit } from '../refactorings/convert-unit.js';
import { extractFormula } from '../refactorings/extract-formula.js';
import { extractLet } from '../refactorings/extract-let.js';
import { inlineLet } from '../refactorings/inline-let.js';
import { makeKind } from '../refactorings/make-kind.js';
import { moveOut, moveToFile } from '../refactorings/move.js';
import { inBlock, removal, statementOf, type Refactoring } from '../refactoring.js';

interface CodeActionParams {
  readonly range: Range;
  readonly context: { readonly only?: readonly string[]; readonly triggerKind?: number };
}

const REFACTORINGS: readonly Refactoring[] = [convertUnit, extractLet, extractFormula, moveOut, moveToFile];
/**
 * Those that look through the whole project wait until the engineer asks; an editor asks by itself wherever the caret
 * goes.
 */
const ASKED_FOR: readonly Refactoring[] = [inlineLet, makeKind];
const AUTOMATIC = 2;

/** Quick fixes of the findings that the range touches, and refactorings of what it selects. */
export default feature(
  'textDocument/codeAction',
  {
    codeActionProvider: {
      codeActionKinds: ['quickfix', 'refactor.extract', 'refactor.inline', 'refactor.move', 'refactor.rewrite'],
    },
  },
  (context, params: CodeActionParams) => {
    const start = context.lines.offset(params.range.start);
    const end = context.lines.offset(params.range.end);
    const asked = (kind: string): boolean =>
      !params.context.only ||
      params.context.only.some(only => only === '' || kind === only || kind.startsWith(`${only}.`));
    const findings = asked('quickfix')
      ? context.project.findings(context.file).filter(finding => finding.start <= end && finding.end >= start)
      : [];
    const fixes = [
      ...findings.flatMap(finding => fixesOf(context, finding)),
      ...mendAll(context, findings),
      ...switchOff(context, findings),
    ];
    const refactors =
      !params.context.only || params.context.only.some(only => only === '' || only.startsWith('refactor'));
    const offered = params.context.triggerKind === AUTOMATIC ? REFACTORINGS : [...REFACTORINGS, ...ASKED_FOR];
    return [
      ...fixes,
      ...(refactors && !context.file.startsWith(LIBRARY)
        ? offered.flatMap(refactoring => refactoring(context, start, end)).filter(({ kind }) => asked(kind!))
        : []),
    ];
  },
);

/** Fixes of a finding and of its cause, which may lie elsewhere. */
function fixesOf(context: FeatureContext, finding: Finding): CodeAction[] {
  const { found } = finding;
  const { cause } = found;
  const own = fixesAt(context, finding, found);
  return cause?.place
    ? [...own, ...fixesAt(context, finding, { code: cause.code, place: cause.place, data: cause.data })]
    : own;
}

function fixesAt(context: FeatureContext, finding: Finding, found: Found): CodeAction[] {
  const { project } = context;
  const textAt = ({ owner, id }: Place): string => {
    const { start, end } = spanOf(owner, id);
    return (project.text(owner.placement.file) ?? '').slice(start, end);
  };
  const offered = RULES.get(found.code)?.fix?.(found, textAt(found.place), { view: project, textAt }) ?? [];
  const fixes: readonly Fix[] = Array.isArray(offered) ? offered : [offered as Fix];
  const diagnostics = [diagnosticOf(context, finding)];
  return fixes.map((fix, i) => ({
    title: fix.title,
    kind: 'quickfix',
    diagnostics,
    isPreferred: i === 0 && !fix.begins,
    edit: workspaceEdit(
      context,
      fix.edits.map(edit => resolve(context, found.place, edit)),
    ),
  }));
}

/** What a word processor left in a text stands there many times: all that can be meant in one way only. */
function mendAll(context: FeatureContext, findings: readonly Finding[]): CodeAction[] {
  const replacement = ({ found }: Finding): string | undefined =>
    found.data['replacement 2'] === undefined ? found.data['replacement 1'] : undefined;
  const here = findings.filter(finding => replacement(finding) !== undefined);
  if (here.length === 0) return [];
  const all = context.project.findings(context.file).filter(finding => replacement(finding) !== undefined);
  if (all.length === 1) return [];
  return [
    {
      title: `Mend all ${all.length} such spellings in this file`,
      kind: 'quickfix',
      diagnostics: here.map(finding => diagnosticOf(context, finding)),
      edit: workspaceEdit(
        context,
        all.map(finding => ({
          file: context.file,
          start: finding.start,
          end: finding.end,
          text: replacement(finding)!,
        })),
      ),
    },
  ];
}

/** A finding that only informs can be switched off where the project keeps its settings. */
function switchOff(context: FeatureContext, findings: readonly Finding[]): CodeAction[] {
  const settings = context.project.projectEntity?.declaration;
  if (!settings?.hasBlock) return [];
  const quiet = findings.filter(({ severity }) => severity === 'information' || severity === 'hint');
  return [...new Map(quiet.map(finding => [finding.code, finding])).values()].map(finding => ({
    title: `Switch off ${finding.code} in the whole project`,
    kind: 'quickfix',
    diagnostics: [diagnosticOf(context, finding)],
    edit: workspaceEdit(context, [
      resolve(context, finding.found.place, {
        place: { inside: { owner: settings, id: 0 } },
        text: `severity ${finding.code} = off`,
      }),
    ]),
  }));
}

function resolve(context: FeatureContext, here: Place, { place, text }: Fix['edits'][number]): TextEditAt {
  const { project } = context;
  if (place === 'here') return resolve(context, here, { place: here, text });
  if ('remove' in place) {
    const { file } = place.remove.placement;
    const source = project.text(file) ?? '';
    return removal(file, source, statementOf(source, place.remove));
  }
  const target =
    'after' in place ? place.after : 'inside' in place ? place.inside : 'endOf' in place ? place.endOf : place;
  const { file } = target.owner.placement;
  const source = project.text(file) ?? '';
  const { start, end } = spanOf(target.owner, target.id);
  if ('endOf' in place)
    return { file, start: source.length, end: source.length, text: source.endsWith('\n') ? text : `\n${text}` };
  if ('after' in place) return { file, start: end, end, text };
  return 'inside' in place ? inBlock(file, source, start, end, text) : { file, start, end, text };
}
