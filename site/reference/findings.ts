/** The index of findings, by topic. Each has a page of its own. */
import { RULES } from '../../server/findings/index.js';
import type { Page } from '../page.js';

const TOPICS: readonly (readonly [topic: string, codes: string])[] = [
  [
    'Margins and checks',
    'failing-margin thin-margin undetermined worst-case-not-bounded negative-applied not-a-load-margin undetermined-text statement-number missing-mode check-outside-requirement unused-binder',
  ],
  [
    'Factors and allowables',
    'factor-missing factor-doubled factor-class factor-level factor-untested knock-down-above-one knock-down-side foreign-material typical-allowable basis-without-source',
  ],
  [
    'Loads, cases and sweeps',
    'load-not-swept environment-not-swept temperature-not-swept load-expected not-a-sweep empty-sweep sweep-too-large sweep-undetermined too-many-corners too-many-loads range-downward range-ends-differ range-expected range-in-arithmetic range-in-table range-without-step step-dimension filter-undetermined index-undetermined',
  ],
  [
    'Requirements',
    'unverified requirement-without-statement requirement-without-method requirement-without-parent part-without-requirement no-shall several-shalls vague-wording tbd tbc circle',
  ],
  [
    'Evidence, lots and articles',
    'evidence-failed lapsed measured-beyond-limit open-nonconformance waiver-exceeded waiver-expired waiver-without-terms lot-unfit lot-without-certificate no-lot part-without-lot part-without-material missing-file imprint-not-compared',
  ],
  [
    'Mass and frames',
    'mass-over-limit mass-without-growth maturity-missing maturity-unknown growth-expected part-without-mass position-expected position-missing positions-count frame-elsewhere frame-expected frames-in-a-circle',
  ],
  [
    'Units and dimensions',
    'unknown-unit unit-expected unit-without-number unit-hides unit-named-like-value cannot-add cannot-subtract cannot-compare cannot-convert angle-against-cycles angular-as-frequency branches-differ dimensionless-expected exponent-with-dimension exponent-not-rational field-dimension argument-dimension result-dimension tolerance-dimension equality-of-quantities',
  ],
  [
    'Temperatures',
    'points-added point-negated point-in-product point-as-difference point-where-difference difference-where-point point-subtracted-from-difference relative-tolerance-of-point',
  ],
  ['Tolerances', 'limits-swapped unbracketed-tolerance distribution-missing tolerance-in-table cannot-repeat'],
  [
    'Tables and data files',
    'outside-table table-expected table-input table-key-unknown table-keys-differ table-values-differ table-not-ascending table-row-without-value table-without-entry table-logarithm interpolation-without-table data-file data-missing data-not-a-number file-format header-unit-disagrees header-unit-unknown missing-result-row several-result-rows file-name file-spelling path-backslash',
  ],
  [
    'Formulas and calculations',
    'formula-outside-validity argument-count argument-missing argument-twice unknown-argument not-callable quantity-called recursive-formula cycle division-by-zero root-of-negative logarithm-of-nonpositive power-undefined no-root not-a-number number-out-of-range empty-fold index-expected index-out-of-range number-expected count-expected not-a-list vector-expected vector-operator condition-expected condition-without-order cannot-compare-kinds chain-changes-direction unknown-expected only-a-type no-member expression-too-deep too-much-work too-much-in-all not-evaluated-yet',
  ],
  [
    'Names and blocks',
    'unknown-name unknown-label unknown-member unknown-block unknown-field unknown-type unknown-word unknown-code unresolved-reference ambiguous-name duplicate-name duplicate-field duplicate-entry look-alike unused-name missing-field nameless-block misplaced-block misplaced-head misplaced-statement field-outside-block stray-word repeated-suffix kind-expected kind-not-repeated part-expected table-expected override-target not-a-date',
  ],
  ['Libraries', 'library-missing library-name library-pin library-override unit-differs'],
  ['Texts and files', 'syntax open-placeholder unreadable-file defect'],
];

export function findingsPage(): Page {
  const placed = new Set<string>();
  const row = (code: string): string => {
    placed.add(code);
    const { title, severity } = RULES.get(code)!;
    return `| [\`${code}\`](${code}.md) | ${title} | ${severity} |`;
  };
  const table = (codes: readonly string[]): string =>
    ['| code | what is wrong | severity |', '| --- | --- | --- |', ...codes.map(row)].join('\n');
  const known = TOPICS.map(([topic, codes]) => {
    const here = codes.split(' ').filter(code => RULES.has(code) && !placed.has(code));
    return `## ${topic}\n\n${table(here)}`;
  });
  const further = [...RULES.keys()].filter(code => !placed.has(code));
  return {
    path: 'findings/index.html',
    source: 'docs/findings/README.md',
    title: 'Findings',
    group: 'Reference',
    markdown: [
      '# Findings',
      `What Gusset finds in a project, by topic: ${RULES.size} in all. The page of each shows it wrong and right. \`gusset explain CODE\` prints the same, and \`severity\` in the project block changes how one is told.`,
      ...known,
      ...(further.length > 0 ? [`## Others\n\n${table(further)}`] : []),
    ].join('\n\n'),
  };
}
