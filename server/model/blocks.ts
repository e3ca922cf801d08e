/**
 * What each kind of block takes: its head, its fields, what may stand in it. One table for resolution, findings,
 * completion and the docs.
 */

/**
 * How a field is read. `word` and `reference` are not calculated; the others are expressions of that type: a dimension,
 * a point, a vector or a range of one (`temperature point`, `length vector`, `temperature range`), or what is listed
 * here.
 */
export type FieldType =
  'text' | 'word' | 'date' | 'file' | 'truth' | 'reference' | 'any' | 'number' | 'inertia' | (string & {});

export interface FieldRule {
  readonly type: FieldType;
  readonly doc: string;
  /** For `word`: what may stand there. */
  readonly words?: readonly string[];
  readonly required?: boolean;
}

export interface BlockRule {
  readonly kind: string;
  readonly doc: string;
  /** True when the engineer may add fields of their own. */
  readonly open: boolean;
  readonly name: 'name' | 'label' | 'either' | 'none';
  readonly head: readonly (
    'of' | 'is' | 'for' | 'on' | 'from' | 'in' | 'format' | 'value' | 'title' | 'restrictions'
  )[];
  readonly fields: Readonly<Record<string, FieldRule>>;
  /** Kinds of block that may stand inside. */
  readonly children: readonly string[];
  /** Statements beside fields and blocks that may stand inside. */
  readonly statements: readonly string[];
}

const METHODS = ['test', 'analysis', 'inspection', 'demonstration', 'review_of_design', 'review'];
const RESULTS = ['pass', 'fail', 'inconclusive'];
const COMMON = ['let', 'formula'];

const RULES: readonly BlockRule[] = [
  {
    kind: 'file',
    doc: 'The top of a file.',
    open: false,
    name: 'none',
    head: [],
    fields: {},
    children: [
      'project',
      'document',
      'milestone',
      'environment',
      'load',
      'case',
      'factors',
      'growth',
      'material',
      'lot',
      'part',
      'kind',
      'frame',
      'requirement',
      'evidence',
      'waiver',
      'article',
      'results',
      'table',
      'configuration',
      'assume',
      'size',
      'nonconformance',
    ],
    statements: [...COMMON, 'unit', 'use', 'check'],
  },
  {
    kind: 'project',
    doc: 'Names the project and holds its settings. One per folder.',
    open: false,
    name: 'name',
    head: ['title'],
    fields: {
      revision: { type: 'text', doc: 'Revision that is being checked.' },
      date: { type: 'date', doc: 'Date of this revision; expiry is judged by it unless another is asked for.' },
      thin_margin: { type: 'number', doc: 'Strength margins below this are shown as thin.' },
      milestone: { type: 'reference', doc: 'The milestone that is being prepared; some findings wait for theirs.' },
      mass_limit: { type: 'mass', doc: 'Cap of the predicted mass, for the mass table.' },
      mass_of: { type: 'reference', doc: 'The part whose mass the cap is for.' },
    },
    children: [],
    statements: ['severity'],
  },
  {
    kind: 'document',
    doc: 'A document that values cite.',
    open: false,
    name: 'name',
    head: ['title'],
    fields: {
      revision: { type: 'text', doc: 'Its issue.' },
      date: { type: 'date', doc: 'Its date.' },
      customer: { type: 'truth', doc: "True where its wording is the customer's and not ours to change." },
    },
    children: [],
    statements: [],
  },
  {
    kind: 'milestone',
    doc: 'A review or a delivery.',
    open: false,
    name: 'name',
    head: ['title'],
    fields: { date: { type: 'date', doc: 'When it is held.', required: true } },
    children: [],
    statements: [],
  },
  {
    kind: 'environment',
    doc: 'Temperatures, life, doses of a place or a phase.',
    open: true,
    name: 'name',
    head: ['title'],
    fields: {
      cold: { type: 'temperature point', doc: 'Lowest temperature.' },
      hot: { type: 'temperature point', doc: 'Highest temperature.' },
      life: { type: 'time', doc: 'How long it lasts.' },
    },
    children: [],
    statements: COMMON,
  },
  {
    kind: 'load',
    doc: 'A load event with its own temperature.',
    open: true,
    name: 'name',
    head: ['title'],
    fields: {
      axial: { type: 'any', doc: 'Acceleration along the launch axis, a value or a range of both signs.' },
      lateral: { type: 'any', doc: 'Acceleration across it; `any` for every direction.' },
      temperature: { type: 'temperature range', doc: 'Temperature of the event, a point or a range.' },
      level: {
        type: 'word',
        words: ['limit', 'qualification', 'acceptance', 'protoflight', 'ultimate'],
        doc: 'What the values already contain.',
      },
      psd: { type: 'any', doc: 'Acceleration spectral density over frequency.' },
      duration: { type: 'time', doc: 'How long it lasts.' },
      source: { type: 'reference', doc: 'The document it is taken from.' },
    },
    children: [],
    statements: COMMON,
  },
  {
    kind: 'case',
    doc: 'Loads that act together.',
    open: false,
    name: 'name',
    head: ['title', 'value'],
    fields: {},
    children: [],
    statements: [],
  },
  {
    kind: 'factors',
    doc: 'A set of factors of safety, or of knock-downs, for one class of hardware.',
    open: true,
    name: 'name',
    head: ['title'],
    fields: {
      class: {
        type: 'word',
        words: ['metal', 'printed', 'composite', 'bonded', 'ceramic', 'fastener'],
        doc: 'The class of material it is for.',
      },
      tested: { type: 'word', words: ['yes', 'no'], doc: 'Whether it presumes a test.' },
      level: {
        type: 'word',
        words: ['limit', 'qualification', 'acceptance', 'protoflight'],
        doc: 'The level of load its factors multiply.',
      },
      side: {
        type: 'word',
        words: ['load', 'allowable'],
        doc: 'Which side its members multiply: a load, or (knock-downs, each at most 1) an allowable.',
      },
      source: { type: 'reference', doc: 'The document it is taken from.' },
    },
    children: [],
    statements: [],
  },
  {
    kind: 'growth',
    doc: 'Mass growth by maturity.',
    open: true,
    name: 'name',
    head: ['title'],
    fields: { source: { type: 'reference', doc: 'The document it is taken from.' } },
    children: [],
    statements: [],
  },
  {
    kind: 'material',
    doc: 'A material with its properties and allowables.',
    open: true,
    name: 'name',
    head: ['title'],
    fields: {
      class: {
        type: 'word',
        words: ['metal', 'printed', 'composite', 'bonded', 'ceramic', 'fastener'],
        doc: 'Its class, held against that of the factors.',
      },
      density: { type: 'density', doc: 'Mass per volume.' },
      E: { type: 'any', doc: "Young's modulus." },
      source: { type: 'reference', doc: 'Where its values come from.' },
    },
    children: [],
    statements: COMMON,
  },
  {
    kind: 'lot',
    doc: 'A batch of a material.',
    open: true,
    name: 'either',
    head: ['title', 'of'],
    fields: {
      certificate: { type: 'file', doc: 'Its certificate.' },
      received: { type: 'date', doc: 'When it came in.' },
      expires: { type: 'date', doc: 'End of its shelf life.' },
    },
    children: [],
    statements: [],
  },
  {
    kind: 'part',
    doc: 'A part or an assembly.',
    open: true,
    name: 'either',
    head: ['title', 'is', 'in'],
    fields: {
      drawing: { type: 'text', doc: 'Drawing and revision.' },
      material: { type: 'reference', doc: 'Material, with the lot it is made from.' },
      mass: { type: 'mass', doc: 'Mass of one item, without the parts inside it.' },
      count: { type: 'number', doc: 'How many there are.' },
      growth: { type: 'reference', doc: 'Growth table for it and what is inside.' },
      position: { type: 'length vector', doc: 'Where its own centre of mass lies, in the frame of its parent.' },
      inertia: { type: 'inertia', doc: 'Own moments of inertia (Ixx, Iyy, Izz) about its centre of mass.' },
      frame: { type: 'reference', doc: 'Frame of its position.' },
    },
    children: [
      'part',
      'requirement',
      'frame',
      'table',
      'results',
      'material',
      'load',
      'factors',
      'environment',
      'assume',
    ],
    statements: [...COMMON, 'slot', 'exempt', 'check'],
  },
  {
    kind: 'kind',
    doc: 'A family of parts, written once.',
    open: true,
    name: 'name',
    head: ['title'],
    fields: {},
    children: ['part', 'requirement'],
    statements: [...COMMON, 'given', 'needs', 'exempt'],
  },
  {
    kind: 'frame',
    doc: 'A coordinate frame.',
    open: false,
    name: 'name',
    head: ['title', 'in'],
    fields: {
      origin: { type: 'length vector', doc: 'Its origin in the frame it stands in.' },
      rotate: { type: 'number vector', doc: 'Rotations about x, y, z, applied in that order.' },
    },
    children: [],
    statements: [],
  },
  {
    kind: 'requirement',
    doc: 'A shall-statement with its checks and how it is verified.',
    open: true,
    name: 'either',
    head: ['title', 'for'],
    fields: {
      source: { type: 'reference', doc: 'The document it comes from.' },
      customer: { type: 'truth', doc: "True where the wording is the customer's." },
    },
    children: ['assume'],
    statements: [...COMMON, 'check', 'verify', 'parent', 'rationale', 'source', 'checked'],
  },
  {
    kind: 'evidence',
    doc: 'What closes a method of a requirement.',
    open: false,
    name: 'either',
    head: ['title', 'for', 'on', 'in', 'restrictions'],
    fields: {
      method: { type: 'word', words: METHODS, doc: 'Which method it closes.', required: true },
      report: { type: 'file', doc: 'The report.', required: true },
      date: { type: 'date', doc: 'When it was done.', required: true },
      result: { type: 'word', words: RESULTS, doc: 'Its verdict.', required: true },
      level: {
        type: 'word',
        words: ['qualification', 'acceptance', 'protoflight', 'development', 'flight'],
        doc: 'Level of the test.',
      },
      source: { type: 'reference', doc: 'The document that holds it.' },
    },
    children: [],
    statements: ['measured', 'holds', 'supersedes', 'imprint'],
  },
  {
    kind: 'waiver',
    doc: 'Accepts a failing requirement within terms.',
    open: false,
    name: 'either',
    head: ['title', 'for', 'on', 'in'],
    fields: {
      reason: { type: 'text', doc: 'Why it is acceptable.', required: true },
      approved: { type: 'text', doc: 'By whom and when.', required: true },
      expires: { type: 'date', doc: 'Last day it holds, or the milestone of that day.', required: true },
      method: { type: 'word', words: METHODS, doc: 'Waives this method instead of a margin.' },
    },
    children: [],
    statements: ['accepts'],
  },
  {
    kind: 'article',
    doc: 'A built item.',
    open: true,
    name: 'either',
    head: ['title', 'of', 'from'],
    fields: {
      printed: { type: 'date', doc: 'When it was printed.' },
      built: { type: 'date', doc: 'When it was built.' },
      mass: { type: 'mass', doc: 'As weighed.' },
      drawing: { type: 'text', doc: 'Drawing and revision it was built to.' },
    },
    children: [],
    statements: ['measured'],
  },
  {
    kind: 'nonconformance',
    doc: 'A departure found on an article.',
    open: false,
    name: 'either',
    head: ['title', 'for', 'on'],
    fields: {
      disposition: {
        type: 'word',
        words: ['use_as_is', 'rework', 'repair', 'scrap', 'return'],
        doc: 'What was decided; while nothing is, it is open.',
      },
      date: { type: 'date', doc: 'Day of the disposition.' },
      reason: { type: 'text', doc: 'Cause.' },
    },
    children: [],
    statements: [],
  },
  {
    kind: 'results',
    doc: 'Results of an outside analysis, read from a file.',
    open: false,
    name: 'name',
    head: ['title', 'value', 'format'],
    fields: {
      model: { type: 'text', doc: 'Version of the model that was run.' },
      date: { type: 'date', doc: 'When it was run.' },
    },
    children: [],
    statements: ['column', 'from', 'imprint'],
  },
  {
    kind: 'table',
    doc: 'A table, given here or read from a file.',
    open: false,
    name: 'name',
    head: ['title', 'value', 'format'],
    fields: { source: { type: 'reference', doc: 'Where it comes from.' } },
    children: [],
    statements: ['column'],
  },
  {
    kind: 'configuration',
    doc: 'Overrides of the shared model.',
    open: true,
    name: 'name',
    head: ['title', 'value'],
    fields: {},
    children: [],
    statements: ['study', 'override'],
  },
  {
    kind: 'assume',
    doc: 'An assumption that values cite.',
    open: false,
    name: 'either',
    head: ['title'],
    fields: { source: { type: 'reference', doc: 'Where it comes from.' } },
    children: [],
    statements: ['rationale'],
  },
  {
    kind: 'size',
    doc: 'Finds the least of a goal over free variables.',
    open: false,
    name: 'name',
    head: ['title'],
    fields: {},
    children: [],
    statements: ['least', 'free'],
  },
];

export const BLOCKS: ReadonlyMap<string, BlockRule> = new Map(RULES.map(rule => [rule.kind, rule]));

/** Fields that are read as words or references and never calculated. */
export function isCalculated(kind: string, field: string): boolean {
  const type = BLOCKS.get(kind)?.fields[field]?.type;
  return type !== 'word' && type !== 'file' && !(type === 'reference' && field === 'source');
}
