/**
 * What each kind of block takes: its head, its fields, what may stand in it. Resolution, findings, completion, colours
 * and the reference read it here.
 */
import { MATERIAL_CLASSES, METHODS, RESULTS, TEST_LEVELS } from './choices.js';
import type { HeadWord } from './clauses.js';
import { DOCUMENTS } from './documents.js';

/**
 * How a field is read. `word` and `reference` are not calculated; the others are expressions of that type: a dimension,
 * a point or a vector of one (`temperature point`, `length vector`), or what is listed here.
 */
export type FieldType =
  'text' | 'word' | 'date' | 'file' | 'truth' | 'reference' | 'any' | 'number' | 'inertia' | (string & {});

export interface FieldRow<Block extends string = string> {
  readonly type: FieldType;
  readonly documentation: string;
  /** For `word`: what may stand there. */
  readonly words?: readonly string[];
  /** For `reference`: the kinds of block that may be named. */
  readonly names?: readonly Block[];
  readonly required?: boolean;
}

/** What the head of a block takes beside its name: clauses with the kinds of block that each names, and other parts. */
type Head<Block extends string> = Readonly<Partial<Record<HeadWord, readonly Block[]>>> & {
  readonly title?: true;
  /** A value behind `=`. */
  readonly value?: true;
  /** How the file is written that it is read from. */
  readonly format?: true;
  /** Cases behind `for` that it is about. */
  readonly restrictions?: true;
};

export interface BlockRow<Block extends string = string> {
  readonly documentation: string;
  /** True when the engineer may add fields of their own. */
  readonly open: boolean;
  readonly name: 'name' | 'label' | 'either' | 'none';
  /** Whether expressions name it; others are cited by their labels alone. */
  readonly isNamedInExpressions: boolean;
  /** Whether a library keeps it to itself: how it is verified, and what it is made into. */
  readonly staysInLibrary: boolean;
  readonly head: Head<Block>;
  readonly fields: Readonly<Record<string, FieldRow<Block>>>;
  /** Kinds of block that may stand inside. */
  readonly children: readonly Block[];
  /** Text of the language that is complete at the top of a file. */
  readonly example?: string;
}

export const BLOCK_ROWS = {
  file: {
    documentation: 'The top of a file.',
    open: false,
    name: 'none',
    isNamedInExpressions: false,
    staysInLibrary: false,
    head: {},
    fields: {},
    children: [],
  },
  project: {
    documentation: 'Names the project and holds its settings. One per folder.',
    open: false,
    name: 'name',
    isNamedInExpressions: false,
    staysInLibrary: true,
    head: { title: true },
    fields: {
      revision: { type: 'text', documentation: 'Revision that is being checked.' },
      date: {
        type: 'date',
        documentation: 'Date of this revision; expiry is judged by it unless another is asked for.',
      },
      thin_margin: { type: 'number', documentation: 'Strength margins below this are shown as thin.' },
      milestone: {
        type: 'reference',
        documentation: 'The milestone that is being prepared; some findings wait for theirs.',
        names: ['milestone'],
      },
      mass_limit: { type: 'mass', documentation: 'Cap of the predicted mass, for the mass table.' },
      mass_of: { type: 'reference', documentation: 'The part whose mass the cap is for.', names: ['part'] },
    },
    children: [],
    example:
      'project Cordgrass "Cordgrass microsatellite" {\n  revision = "C"\n  date = 2027-06-01\n  thin_margin = 10 %\n}',
  },
  document: {
    documentation: 'A document that values cite.',
    open: false,
    name: 'name',
    isNamedInExpressions: true,
    staysInLibrary: false,
    head: { title: true },
    fields: {
      revision: { type: 'text', documentation: 'Its issue.' },
      date: { type: 'date', documentation: 'Its date.' },
      customer: { type: 'truth', documentation: "True where its wording is the customer's and not ours to change." },
    },
    children: [],
    example: 'document GUIDE "Launch guide" { revision = "4.1"   date = 2026-03-02   customer = true }',
  },
  milestone: {
    documentation: 'A review or a delivery.',
    open: false,
    name: 'name',
    isNamedInExpressions: true,
    staysInLibrary: true,
    head: { title: true },
    fields: {
      date: { type: 'date', documentation: 'When it is held.', required: true },
    },
    children: [],
    example: 'milestone CDR "Critical design review" { date = 2027-04-20 }',
  },
  environment: {
    documentation: 'Temperatures, life, doses of a place or a phase.',
    open: true,
    name: 'name',
    isNamedInExpressions: true,
    staysInLibrary: false,
    head: { title: true },
    fields: {
      cold: { type: 'temperature point', documentation: 'Lowest temperature.' },
      hot: { type: 'temperature point', documentation: 'Highest temperature.' },
      life: { type: 'time', documentation: 'How long it lasts.' },
    },
    children: [],
    example: 'environment Orbit "Sun-synchronous orbit, 510 km" { cold = -40 degC   hot = 70 degC   life = 5 yr }',
  },
  load: {
    documentation: 'A load event with its own temperature.',
    open: true,
    name: 'name',
    isNamedInExpressions: true,
    staysInLibrary: false,
    head: { title: true },
    fields: {
      axial: { type: 'any', documentation: 'Acceleration along the launch axis, a value or a range of both signs.' },
      lateral: { type: 'any', documentation: 'Acceleration across it; `any` for every direction.' },
      temperature: { type: 'temperature range', documentation: 'Temperature of the event, a point or a range.' },
      level: {
        type: 'word',
        documentation: 'What the values already contain.',
        words: ['limit', 'qualification', 'acceptance', 'protoflight', 'ultimate'],
      },
      psd: { type: 'any', documentation: 'Acceleration spectral density over frequency.' },
      duration: { type: 'time', documentation: 'How long it lasts.' },
      source: { type: 'reference', documentation: 'The document it is taken from.', names: DOCUMENTS },
    },
    children: [],
    example:
      'load Liftoff "Lift-off" {\n  axial = -2.0 g0 .. 8.0 g0\n  lateral = 3.0 g0 any\n  temperature = 10 degC .. 40 degC\n  level = limit\n}',
  },
  case: {
    documentation: 'Loads that act together.',
    open: false,
    name: 'name',
    isNamedInExpressions: true,
    staysInLibrary: false,
    head: { title: true, value: true },
    fields: {},
    children: [],
    example:
      'load RandomX "Random, x" { axial = 6 g0   level = limit }\nload RandomY "Random, y" { lateral = 6 g0   level = limit }\nload Liftoff "Lift-off" { axial = 7.5 g0   level = limit }\ncase Ascent "Lift-off with random vibration" = Liftoff + rss(RandomX, RandomY)',
  },
  factors: {
    documentation: 'A set of factors of safety, or of knock-downs, for one class of hardware.',
    open: true,
    name: 'name',
    isNamedInExpressions: true,
    staysInLibrary: false,
    head: { title: true },
    fields: {
      class: { type: 'word', documentation: 'The class of material it is for.', words: MATERIAL_CLASSES },
      tested: { type: 'word', documentation: 'Whether it presumes a test.', words: ['yes', 'no'] },
      level: {
        type: 'word',
        documentation: 'The level of load its factors multiply.',
        words: ['limit', 'qualification', 'acceptance', 'protoflight'],
      },
      side: {
        type: 'word',
        documentation: 'Which side its members multiply: a load, or (knock-downs, each at most 1) an allowable.',
        words: ['load', 'allowable'],
      },
      source: { type: 'reference', documentation: 'The document it is taken from.', names: DOCUMENTS },
    },
    children: [],
    example:
      'factors FlightMetal "Metal, tested" {\n  class = metal\n  tested = yes\n  level = limit\n  yield = 1.25\n  ultimate = 1.4\n}',
  },
  growth: {
    documentation: 'Mass growth by maturity.',
    open: true,
    name: 'name',
    isNamedInExpressions: true,
    staysInLibrary: false,
    head: { title: true },
    fields: {
      source: { type: 'reference', documentation: 'The document it is taken from.', names: DOCUMENTS },
    },
    children: [],
    example: 'growth Structure "Growth of structure" { estimated = 18 %   calculated = 10 %   measured = 0 % }',
  },
  material: {
    documentation: 'A material with its properties and allowables.',
    open: true,
    name: 'name',
    isNamedInExpressions: true,
    staysInLibrary: false,
    head: { title: true },
    fields: {
      class: { type: 'word', documentation: 'Its class, held against that of the factors.', words: MATERIAL_CLASSES },
      density: { type: 'density', documentation: 'Mass per volume.' },
      E: { type: 'any', documentation: "Young's modulus." },
      source: { type: 'reference', documentation: 'Where its values come from.', names: DOCUMENTS },
    },
    children: [],
    example:
      'material AlPlate "Aluminium alloy plate" {\n  class = metal\n  density = 2.80 g/cm^3\n  yield = [-55 degC -> 408 MPa, 85 degC -> 374 MPa] basis A source "data sheet 3"\n}',
  },
  lot: {
    documentation: 'A batch of a material.',
    open: true,
    name: 'either',
    isNamedInExpressions: true,
    staysInLibrary: false,
    head: { title: true, of: ['material'] },
    fields: {
      certificate: { type: 'file', documentation: 'Its certificate.' },
      received: { type: 'date', documentation: 'When it came in.' },
      expires: { type: 'date', documentation: 'End of its shelf life.' },
    },
    children: [],
    example:
      'material AlPlate "Plate" { density = 2.80 g/cm^3 }\nlot L-1 of AlPlate { certificate = file("certs/L-1.txt")   received = 2027-01-11 }',
  },
  part: {
    documentation: 'A part or an assembly.',
    open: true,
    name: 'either',
    isNamedInExpressions: true,
    staysInLibrary: true,
    head: { title: true, is: ['kind'], in: ['part'] },
    fields: {
      drawing: { type: 'text', documentation: 'Drawing and revision.' },
      material: { type: 'reference', documentation: 'Material, with the lot it is made from.', names: ['material'] },
      mass: { type: 'mass', documentation: 'Mass of one item, without the parts inside it.' },
      count: { type: 'number', documentation: 'How many there are.' },
      growth: { type: 'reference', documentation: 'Growth table for it and what is inside.', names: ['growth'] },
      position: {
        type: 'length vector',
        documentation: 'Where its own centre of mass lies, in the frame of its parent.',
      },
      inertia: { type: 'inertia', documentation: 'Own moments of inertia (Ixx, Iyy, Izz) about its centre of mass.' },
      frame: { type: 'reference', documentation: 'Frame of its position.', names: ['frame'] },
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
    example:
      'part Bus "Vehicle" {\n  part Tray "Battery tray" {\n    drawing = "CG-2010" revision "B"\n    t = 3.2 mm\n    mass = 0.4 kg\n  }\n}',
  },
  kind: {
    documentation: 'A family of parts, written once.',
    open: true,
    name: 'name',
    isNamedInExpressions: true,
    staysInLibrary: false,
    head: { title: true },
    fields: {},
    children: ['part', 'requirement'],
    example:
      'kind Strap "Strap that carries a pull" {\n  given width: length, t: length, pull: force\n  requirement STRAP-YLD "The {name} shall carry its pull." {\n    check yield: pull / (width * t) <= 400 MPa\n    verify by analysis\n  }\n}\npart Left "Left strap" is Strap { width = 12 mm   t = 1.5 mm   pull = 4 kN }',
  },
  frame: {
    documentation: 'A coordinate frame.',
    open: false,
    name: 'name',
    isNamedInExpressions: true,
    staysInLibrary: false,
    head: { title: true, in: ['frame', 'part'] },
    fields: {
      origin: { type: 'length vector', documentation: 'Its origin in the frame it stands in.' },
      rotate: { type: 'number vector', documentation: 'Rotations about x, y, z, applied in that order.' },
    },
    children: [],
    example:
      'part Bus "Vehicle" {\n  frame Panel "Inner face of the panel" { origin = (262, -198, 0) mm   rotate = (0, 0, 90) deg }\n}',
  },
  requirement: {
    documentation: 'A shall-statement with its checks and how it is verified.',
    open: true,
    name: 'either',
    isNamedInExpressions: false,
    staysInLibrary: true,
    head: { title: true, for: ['part', 'kind', 'requirement'] },
    fields: {
      source: { type: 'reference', documentation: 'The document it comes from.', names: DOCUMENTS },
      customer: { type: 'truth', documentation: "True where the wording is the customer's." },
    },
    children: ['assume'],
    example:
      'requirement BR-02 "The bracket shall have a first frequency of at least {limit}." {\n  let limit = 100 Hz\n  check frequency: 131 Hz >= limit\n  verify by analysis, test\n}',
  },
  evidence: {
    documentation: 'What closes a method of a requirement.',
    open: false,
    name: 'either',
    isNamedInExpressions: false,
    staysInLibrary: true,
    head: { title: true, for: ['requirement'], on: ['article', 'part'], in: ['configuration'], restrictions: true },
    fields: {
      method: { type: 'word', documentation: 'Which method it closes.', words: METHODS, required: true },
      report: { type: 'file', documentation: 'The report.', required: true },
      date: { type: 'date', documentation: 'When it was done.', required: true },
      result: { type: 'word', documentation: 'Its verdict.', words: RESULTS, required: true },
      level: { type: 'word', documentation: 'Level of the test.', words: TEST_LEVELS },
      source: { type: 'reference', documentation: 'The document that holds it.', names: DOCUMENTS },
    },
    children: [],
    example:
      'part Lug "Lug" {\n  requirement LUG-01 "The lug shall carry 3 kN." { verify by test }\n}\narticle LUG-Q of Lug { built = 2027-02-10 }\nevidence TR-1 for LUG-01 on LUG-Q "Pull test" {\n  method = test\n  report = file("TR-1.csv")\n  date = 2027-03-02\n  result = pass\n}',
  },
  waiver: {
    documentation: 'Accepts a failing requirement within terms.',
    open: false,
    name: 'either',
    isNamedInExpressions: false,
    staysInLibrary: true,
    head: { title: true, for: ['requirement'], on: ['article', 'part'], in: ['configuration'] },
    fields: {
      reason: { type: 'text', documentation: 'Why it is acceptable.', required: true },
      approved: { type: 'text', documentation: 'By whom and when.', required: true },
      expires: { type: 'date', documentation: 'Last day it holds, or the milestone of that day.', required: true },
      method: { type: 'word', documentation: 'Waives this method instead of a margin.', words: METHODS },
    },
    children: [],
    example:
      'part Wall "Wall" {\n  t = 0.0765 in\n  requirement STR-031 "The wall shall be at least {least} thick." {\n    let least = 0.080 in\n    check t >= least\n    verify by analysis\n  }\n}\nwaiver WVR-07 for STR-031 {\n  accepts margin >= -0.05\n  reason = "local thin spot, stress re-run"\n  approved = "materials review board"\n  expires = 2027-09-30\n}',
  },
  article: {
    documentation: 'A built item.',
    open: true,
    name: 'either',
    isNamedInExpressions: true,
    staysInLibrary: true,
    head: { title: true, of: ['part', 'kind', 'material'], from: ['lot'] },
    fields: {
      printed: { type: 'date', documentation: 'When it was printed.' },
      built: { type: 'date', documentation: 'When it was built.' },
      mass: { type: 'mass', documentation: 'As weighed.' },
      drawing: { type: 'text', documentation: 'Drawing and revision it was built to.' },
    },
    children: [],
    example:
      'material AlPlate "Plate" { density = 2.80 g/cm^3 }\nlot L-3 of AlPlate { certificate = file("certs/L-3.txt")   received = 2027-01-11 }\npart Tank "Tank" { material = AlPlate from L-3   mass = 1.2 kg }\narticle SN-007 of Tank from L-3 { built = 2027-04-01   mass = 1.21 kg }',
  },
  nonconformance: {
    documentation: 'A departure found on an article.',
    open: false,
    name: 'either',
    isNamedInExpressions: false,
    staysInLibrary: true,
    head: { title: true, for: ['requirement'], on: ['article', 'part'] },
    fields: {
      disposition: {
        type: 'word',
        documentation: 'What was decided; while nothing is, it is open.',
        words: ['use_as_is', 'rework', 'repair', 'scrap', 'return'],
      },
      date: { type: 'date', documentation: 'Day of the disposition.' },
      reason: { type: 'text', documentation: 'Cause.' },
    },
    children: [],
    example:
      'part Lug "Lug" {\n  requirement LUG-01 "The lug shall carry 3 kN." { verify by test }\n}\narticle LUG-Q of Lug { built = 2027-02-10 }\nnonconformance NC-07 for LUG-01 on LUG-Q "Scratch at the hole" {\n  disposition = scrap\n  date = 2027-05-09\n  reason = "tool dropped"\n}',
  },
  results: {
    documentation: 'Results of an outside analysis, read from a file.',
    open: false,
    name: 'name',
    isNamedInExpressions: true,
    staysInLibrary: false,
    head: { title: true, value: true, format: true },
    fields: {
      model: { type: 'text', documentation: 'Version of the model that was run.' },
      date: { type: 'date', documentation: 'When it was run.' },
    },
    children: [],
    example:
      'results FE7 "Run 7" = file("fe/run7.csv") skip 3 {\n  model = "7"\n  part as part\n  case as case\n  vm as MPa "Von Mises"\n}',
  },
  table: {
    documentation: 'A table, given here or read from a file.',
    open: false,
    name: 'name',
    isNamedInExpressions: true,
    staysInLibrary: false,
    head: { title: true, value: true, format: true },
    fields: {
      source: { type: 'reference', documentation: 'Where it comes from.', names: DOCUMENTS },
    },
    children: [],
    example: 'table Press = file("press.csv") decimal "," thousands "." ignore "#" { force as kN "Force" }',
  },
  configuration: {
    documentation: 'Overrides of the shared model.',
    open: true,
    name: 'name',
    isNamedInExpressions: true,
    staysInLibrary: true,
    head: { title: true, value: true },
    fields: {},
    children: [],
    example:
      'part Radar "Radar" { mass = 8 kg }\npart Optics "Optics" { mass = 9 kg }\npart Bus "Vehicle" { slot payload = Radar }\nconfiguration WithOptics "Optical payload" { Bus.payload = Optics }',
  },
  assume: {
    documentation: 'An assumption that values cite.',
    open: false,
    name: 'either',
    isNamedInExpressions: false,
    staysInLibrary: false,
    head: { title: true },
    fields: {
      source: { type: 'reference', documentation: 'Where it comes from.', names: DOCUMENTS },
    },
    children: [],
    example:
      'assume A-02 "A peak of random vibration is three times its root mean square." {\n  rationale "Normal distribution, 99.7 %."\n}',
  },
  confirmation: {
    documentation: 'Confirms a value of a library that is to be confirmed, against a copy of its source.',
    open: false,
    name: 'either',
    isNamedInExpressions: false,
    staysInLibrary: true,
    head: { title: true },
    fields: {
      confirms: { type: 'any', documentation: 'The value, by its name.', required: true },
      source: {
        type: 'reference',
        documentation: 'The copy that it was compared with, and the place in it.',
        names: DOCUMENTS,
        required: true,
      },
      by: { type: 'text', documentation: 'Who compared it.', required: true },
      date: { type: 'date', documentation: 'On which day.', required: true },
    },
    children: [],
    example:
      'document THREADS "ISO 898-1, our copy" { revision = "2013"   date = 2026-01-15 }\nconfirmation THR-1 {\n  confirms = coarse_thread_areas\n  source = THREADS "table 4"\n  by = "R. Lindqvist"\n  date = 2027-05-12\n  imprint "4516fa221a37"\n}',
  },
  size: {
    documentation: 'Finds the least of a goal over free variables.',
    open: false,
    name: 'name',
    isNamedInExpressions: false,
    staysInLibrary: true,
    head: { title: true },
    fields: {},
    children: [],
    example: 'part Tray "Tray" { t = 3.2 mm within 2 mm .. 6 mm }\nsize TraySize { least Tray.t   free Tray.t }',
  },
} as const satisfies Readonly<Record<string, BlockRow>>;

/** `file` stands for the top of a file. */
export type BlockKind = keyof typeof BLOCK_ROWS;
/** A word that opens a block. */
export type BlockWord = Exclude<BlockKind, 'file'>;
/** What the head of a kind of block takes. */
export type HeadPartOf<K extends BlockKind> = keyof (typeof BLOCK_ROWS)[K]['head'];
/** The fields that a kind of block knows. */
export type FieldOf<K extends BlockKind> = keyof (typeof BLOCK_ROWS)[K]['fields'];
