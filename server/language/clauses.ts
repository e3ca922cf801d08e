/**
 * Words that act inside statements: behind values, in heads, in expressions, behind tables, in the head of a data file.
 * A few act in several of these ways and have a row in each.
 */
import { DOCUMENTS } from './documents.js';
import type { WordRow } from './row.js';

type Rows = Readonly<Record<string, WordRow>>;

/** They follow a value, a check or a condition, and belong to it. */
export const SUFFIXES = {
  basis: {
    node: 'Basis',
    rule: "'basis' grade=Identifier",
    form: 'value basis A',
    documentation: 'Statistical basis of an allowable: A, B, S or typical.',
    example: 'material Plate "Plate" { yield = 391 MPa basis A source "data sheet 11" }',
  },
  source: {
    node: 'Source',
    rule: "'source' (document=Path text=Text? | text=Text)",
    form: 'value source Document "place"',
    documentation: 'Where the value comes from: a document of the project with the place in it, or a text.',
    names: DOCUMENTS,
    example: 'document GUIDE "Launch guide" { revision = "4.1" }\nlet limit = 100 Hz source GUIDE "table 4-2"',
  },
  maturity: {
    node: 'Maturity',
    rule: "'maturity' level=Identifier",
    form: 'mass maturity word',
    documentation: 'How well a mass is known: a row of the growth table that applies.',
    example:
      'growth Structure { estimated = 18 %   measured = 0 % }\npart Deck "Deck" { growth = Structure   mass = 2 kg maturity estimated }',
  },
  within: {
    node: 'Within',
    rule: "'within' range=Expression ('step' step=Expression)?",
    form: 'value within low .. high step step',
    documentation: 'The range that the value may be sized or tried in.',
    example: 'part Tray "Tray" { t = 3.2 mm within 2 mm .. 6 mm step 0.2 mm }',
  },
  tbc: {
    node: 'Tbc',
    rule: "{infer Tbc} 'tbc'",
    form: 'value tbc',
    documentation: 'To be confirmed. Whatever depends on it stays open until then.',
    complete: true,
    example: 'let limit = 100 Hz tbc',
  },
  from: {
    node: 'From',
    rule: "'from' targets+=Path (',' targets+=Path)*",
    form: 'Material from LOT, …',
    documentation: 'The lot, or lots, that a part or an article is made from.',
    names: ['lot'],
    labels: true,
    example:
      'material Plate "Plate" { density = 2.8 g/cm^3 }\nlot L-1 of Plate { certificate = file("certs/L-1.txt")   received = 2027-01-11 }\npart Bracket "Bracket" { material = Plate from L-1 }',
  },
  revision: {
    node: 'Revision',
    rule: "'revision' text=Text",
    form: '"drawing" revision "B"',
    documentation: 'Revision of a drawing: an article counts for a part while it was built to the revision in force.',
    example: 'part Bracket "Bracket" { drawing = "CB-01" revision "B" }',
  },
  under: {
    node: 'Under',
    rule: "'under' targets+=Path (',' targets+=Path)*",
    form: 'value under LABEL, …',
    documentation: 'The assumptions that the value or the check rests on.',
    names: ['assume'],
    labels: true,
    example:
      'assume A-02 "A peak of random vibration is three times its root mean square." { }\nlet peak = 3 * 6.2 g0 under A-02',
  },
  owner: {
    node: 'Owner',
    rule: "'owner' text=Text",
    form: 'TBD unit owner "who"',
    documentation: 'Who determines the value.',
    example: 'let settling = TBD rad owner "payload lead"',
  },
  due: {
    node: 'Due',
    rule: "'due' (milestone=Identifier | date=DATE)",
    form: 'TBD unit due milestone · TBD unit due 2027-09-01',
    documentation: 'The milestone, or the day, by which the value is determined.',
    names: ['milestone'],
    labels: true,
    example: 'milestone CDR "Critical design review" { date = 2027-04-20 }\nlet settling = TBD rad due CDR',
  },
  use: {
    node: 'UseValue',
    rule: "'use' value=Expression",
    form: 'TBD unit use value',
    documentation:
      'The figure to plan with until the value is determined. It is written for readers; nothing is calculated with it.',
    example: 'let settling = TBD rad owner "payload lead" use 22e-6 rad',
  },
  at: {
    node: 'At',
    rule: "'at' positions=Expression",
    form: 'count at [position, …]',
    documentation: 'Where each of several items lies.',
    example: 'part Wheel "Wheel" { mass = 0.5 kg   count = 2 at [(200, 0, 150), (-200, 0, 150)] mm }',
  },
  in: {
    node: 'InFrame',
    rule: "'in' frame=Path",
    form: 'position in Frame',
    documentation: 'The frame that a position is counted in.',
    names: ['frame', 'part'],
    example:
      'part Bus "Vehicle" {\n  frame Panel "Inner face of the panel" { origin = (262, -198, 0) mm }\n  part Radio "Radio" { mass = 0.8 kg   position = (20, 0, 30) mm in Panel }\n}',
  },
  any: {
    node: 'AnyDirection',
    rule: "{infer AnyDirection} 'any'",
    form: 'value any',
    documentation: 'Of a lateral load: in every direction across the axis.',
    complete: true,
    example: 'load Liftoff "Lift-off" { axial = -2 g0 .. 8 g0   lateral = 3 g0 any   level = limit }',
  },
  thin: {
    node: 'Thin',
    rule: "'thin' limit=Expression",
    form: 'condition thin limit',
    documentation: 'The margin, or the distance, below which this check is shown as thin.',
    example:
      'requirement FIT-001 "The gap shall be at least 0.1 mm." {\n  check 0.25 mm >= 0.1 mm thin 20 %\n  verify by analysis\n}',
  },
} as const satisfies Rows;

/** They go on with one statement, or with one kind of expression. */
export const CLAUSES = {
  step: {
    continues: ['range'],
    form: 'low .. high step step',
    documentation: 'The steps through a range: of a sweep, or of what may be tried. Both ends always belong to it.',
    example: 'let total = sum(for n in 1 .. 5 step 2: n)',
  },
  because: {
    continues: ['exempt'],
    form: 'exempt Load because "reason"',
    documentation: 'Why a load does not concern the part.',
    example:
      'load Hoist "Hoisting" { axial = 2 g0   level = limit }\npart Cover "Cover" {\n  exempt Hoist because "It is mounted afterwards."\n}',
  },
  requires: {
    continues: ['formula'],
    form: 'formula … = value requires condition, …',
    documentation: 'Where a formula holds. Outside it a call is undetermined.',
    example: 'formula slenderness(L: length, r: length): number = L / r\n  requires r > 0 mm',
  },
  from: {
    node: 'Binder',
    continues: ['fold'],
    form: 'fold(for state from start, x in list: next)',
    documentation: 'What the state of a `fold` is at first; its value becomes the next state, case by case.',
    example: 'let product = fold(for p from 1, x in [2, 3, 4]: p * x)',
  },
  where: {
    continues: ['fold'],
    form: 'for x in list where condition: value',
    documentation: 'Leaves out what does not meet the condition.',
    example: 'let even = count(for n in 1 .. 6 step 1 where n > 3: n)',
  },
  normal: {
    continues: ['tolerance'],
    form: 'value ± spread normal n',
    documentation:
      'The tolerance is a normal distribution, its ends n standard deviations out; for `rss_low` and `rss_high`.',
    complete: true,
    example: 'let slot_width = 12.45 mm ± 0.08 mm normal 3\nlet least = rss_low(slot_width, 3)',
  },
  uniform: {
    continues: ['tolerance'],
    form: 'value ± spread uniform',
    documentation: 'The tolerance is a uniform distribution between its ends; for `rss_low` and `rss_high`.',
    complete: true,
    example: 'let gap = 0.25 mm ± 0.05 mm uniform',
  },
  while: {
    continues: ['holds'],
    form: 'holds while condition',
    documentation: 'Opens the condition under which evidence counts.',
    example:
      'part Lug "Lug" {\n  requirement LUG-01 "The lug shall carry 3 kN." { verify by test }\n}\narticle LUG-Q of Lug { built = 2027-02-10 }\npart Tray "Tray" { t = 3.2 mm }\nevidence TR-5 for LUG-01 on LUG-Q "Pull test" {\n  method = test\n  report = file("TR-5.csv")\n  date = 2027-05-02\n  result = pass\n  holds while Tray.t >= 3.0 mm\n}',
  },
  on: {
    continues: ['verify'],
    form: 'method on article',
    documentation: 'Behind a method: the article, or the part of which any article will do, that it is done on.',
    names: ['article', 'part'],
    labels: true,
    example:
      'part Lug "Lug" {\n  requirement LUG-01 "The lug shall carry 3 kN." {\n    verify by test on LUG-Q qualification\n  }\n}\narticle LUG-Q of Lug { built = 2027-02-10 }',
  },
  each: {
    continues: ['verify'],
    form: 'method on each Part',
    documentation: 'Behind `on`: the method is done on every article of the part.',
    names: ['article', 'part'],
    labels: true,
    example:
      'part Lug "Lug" {\n  requirement LUG-02 "Each lug shall show no crack." {\n    verify by inspection on each Lug\n  }\n}\narticle SN-1 of Lug { built = 2027-02-10 }',
  },
  by: {
    continues: ['verify', 'severity'],
    form: 'verify by method · method by milestone · severity … by milestone · by x, y { (x, y) -> value }',
    documentation:
      'Opens the list of methods; behind a method the milestone it is due at, behind a severity the one from which it holds. Where a value stands it opens a table, with the names of its inputs.',
    names: ['milestone'],
    labels: true,
    example:
      'milestone CDR "Critical design review" { date = 2027-04-20 }\nrequirement STR-001 "The deck shall carry launch." {\n  verify by analysis by CDR\n}',
  },
  before: {
    continues: ['severity'],
    form: 'severity code = level before milestone',
    documentation: 'The milestone until which a severity holds.',
    names: ['milestone'],
    labels: true,
    example:
      'milestone CDR "Critical design review" { date = 2027-04-20 }\nproject Cordgrass "Cordgrass" {\n  date = 2027-06-01\n  severity tbc = information before CDR\n}',
  },
  of: {
    continues: ['verify'],
    form: 'verify by review of design',
    documentation: 'Part of the method *review of design*.',
    labels: true,
    example: 'requirement STR-001 "The deck shall carry launch." {\n  verify by review of design\n}',
  },
  pin: {
    continues: ['use'],
    form: 'use "path" pin "revision"',
    documentation: 'The revision, or the twelve hexadecimal digits, that a library is held to.',
    isNameElsewhere: true,
    example: 'use "../house" as House pin "1.0"',
  },
  above: {
    continues: ['column'],
    form: 'name as type above "Header"',
    documentation: 'Of a column: its value stands behind the header in a title above the rows.',
    isNameElsewhere: true,
    example:
      'table Run = file("run.lst") columns 1 .. 8, 9 .. 16 {\n  case as case above "LOAD CASE"\n  node as text "NODE"\n  vm as MPa "VM"\n}',
  },
} as const satisfies Rows;

/** They stand in the head of a block, behind its name. */
export const HEADS = {
  of: {
    form: 'lot LABEL of Material · article LABEL of Part',
    documentation: 'The material of a lot; the part, or material, of an article.',
    labels: true,
    example:
      'material Plate "Plate" { density = 2.8 g/cm^3 }\nlot L-1 of Plate { certificate = file("certs/L-1.txt")   received = 2027-01-11 }',
  },
  is: {
    form: 'part Name is Kind',
    documentation: 'The kind that a part is of: it has the requirements and values of the kind.',
    example: 'kind Strap "Strap" { given pull: force }\npart Left is Strap { pull = 3 kN }',
  },
  for: {
    form: 'evidence LABEL for REQUIREMENT, …',
    documentation:
      'The requirements that evidence, a waiver or a nonconformance is about; the part that a requirement is for. `for L in [Liftoff]` behind it names the cases that evidence closes.',
    labels: true,
    example:
      'part Lug "Lug" {\n  requirement LUG-01 "The lug shall carry 3 kN." { verify by test }\n}\narticle LUG-Q of Lug { built = 2027-02-10 }\nevidence TR-6 for LUG-01 on LUG-Q "Pull test" {\n  method = test\n  report = file("TR-6.csv")\n  date = 2027-05-02\n  result = pass\n}',
  },
  on: {
    form: 'evidence LABEL for … on ARTICLE',
    documentation: 'The article that evidence was taken on, or that a waiver or nonconformance is about.',
    labels: true,
    example:
      'part Lug "Lug" {\n  requirement LUG-01 "The lug shall carry 3 kN." { verify by test }\n}\narticle LUG-Q of Lug { built = 2027-02-10 }\nevidence TR-7 for LUG-01 on LUG-Q "Pull test" {\n  method = test\n  report = file("TR-7.csv")\n  date = 2027-05-02\n  result = pass\n}',
  },
  from: {
    form: 'article LABEL of Part from LOT',
    documentation: 'The lot, or lots, that an article was made from.',
    labels: true,
    example:
      'material Plate "Plate" { density = 2.8 g/cm^3 }\nlot L-1 of Plate { certificate = file("certs/L-1.txt")   received = 2027-01-11 }\npart Tank "Tank" { material = Plate from L-1   mass = 1.2 kg }\narticle SN-007 of Tank from L-1 { built = 2027-04-01 }',
  },
  in: {
    form: 'part Name in Assembly · frame Name in Frame · evidence … in Configuration',
    documentation:
      'The assembly that a part belongs to; the frame that a frame stands in; the configurations that evidence was taken in or a waiver is for.',
    example: 'part Bus "Vehicle" { }\npart Tray "Battery tray" in Bus { mass = 0.4 kg }',
  },
} as const satisfies Rows;

/** They act in expressions, and are always words, except behind a dot. */
export const OPERATORS = {
  and: {
    form: 'condition and condition',
    documentation: 'Both hold. A check takes the smaller of the two margins.',
    example:
      'requirement STR-001 "The deck shall carry launch." {\n  check 2 mm <= 3 mm and 1 kg <= 2 kg\n  verify by analysis\n}',
  },
  or: {
    form: 'condition or condition',
    documentation: 'One of both holds. A check takes the larger of the two margins.',
    example:
      'requirement STR-001 "The deck shall carry launch." {\n  check 2 mm <= 3 mm or 1 kg <= 2 kg\n  verify by analysis\n}',
  },
  not: {
    form: 'not condition',
    documentation: 'The condition does not hold.',
    example: 'let is_long = 3 m > 2 m\nlet is_short = not is_long',
  },
  if: {
    form: 'if condition then value else value',
    documentation: 'One of two values of the same dimension, by a condition.',
    example: 'let torque = 9 N*m\nlet ratio = if torque > 5 N*m then 2 else 1',
  },
  then: {
    form: 'if condition then value else value',
    documentation: 'The value where the condition holds.',
    example: 'let torque = 9 N*m\nlet ratio = if torque > 5 N*m then 2 else 1',
  },
  else: {
    form: 'if condition then value else value',
    documentation: 'The value where the condition does not hold.',
    example: 'let torque = 9 N*m\nlet ratio = if torque > 5 N*m then 2 else 1',
  },
  for: {
    form: 'for x in list, y in list where condition: value',
    documentation:
      'Runs over a list, a range, the rows of a table or the cases of a load: in a check, and in `sum`, `min`, `max`, `all`, `any`, `count`, `list`, `rss` and `mean`.',
    labels: true,
    example: 'let heights = [20 mm, 35 mm, 15 mm]\nlet total = sum(for h in heights: h)',
  },
  in: {
    form: 'for x in list',
    documentation: 'What the name before it runs over. Behind a number `in` is the inch.',
    example: 'let total = sum(for n in 1 .. 4: n)',
  },
  as: {
    form: 'value as unit',
    documentation:
      'Shows a value in a unit; the value stays the same. In a column it gives the unit or type, in `use` the name of the library.',
    example: 'let slow = 2 * 3.5 kg as lbm',
  },
  true: {
    form: 'true',
    documentation: 'A condition that holds.',
    complete: true,
    example: 'document GUIDE "Launch guide" { customer = true }',
  },
  false: {
    form: 'false',
    documentation: 'A condition that does not hold.',
    complete: true,
    example: 'document NOTE "Own note" { customer = false }',
  },
  TBD: {
    form: 'TBD unit owner "who" due milestone',
    documentation:
      'To be determined: a dimension without a value. Whatever depends on it is undetermined, never a pass.',
    complete: true,
    example: 'part Box "Box" { mass = TBD kg owner "mass lead" }',
  },
} as const satisfies Rows;

/** They follow the bracket of a table: how it is read between its keys. */
export const INTERPOLATIONS = {
  linear: {
    form: '[x -> y, …] linear',
    documentation: 'Straight lines between the rows of a table; what holds where nothing is said.',
    complete: true,
    example: 'let strength = [-55 degC -> 408 MPa, 85 degC -> 374 MPa] linear',
  },
  loglog: {
    form: '[x -> y, …] loglog',
    documentation: 'Straight lines where both axes are logarithmic: spectra.',
    complete: true,
    example: 'let psd = [20 Hz -> 0.026 g0^2/Hz, 50 Hz -> 0.16 g0^2/Hz] loglog\nlet between = psd(30 Hz)',
  },
  semilog: {
    form: '[x -> y, …] semilog',
    documentation: 'Straight lines where the axis of the keys is logarithmic.',
    complete: true,
    example: 'let curve = [1e3 -> 300 MPa, 1e6 -> 120 MPa] semilog',
  },
  step: {
    form: '[x -> y, …] step',
    documentation: 'The value of a row holds up to the next one.',
    complete: true,
    example: 'let sizes = [0 kg -> 10 %, 5 kg -> 8 %] step',
  },
  exact: {
    form: '[x -> y, …] exact',
    documentation: 'Only the keys that are listed have a value.',
    complete: true,
    example: 'let gauge = [1 -> 0.8 mm, 2 -> 1.0 mm] exact',
  },
} as const satisfies Rows;

/** They stand in the head of a table or of results: how the file is written. */
export const FORMATS = {
  skip: {
    values: ['1', '2'],
    form: 'skip 2',
    documentation: 'Lines before the header.',
    example: 'table Press = file("press.csv") skip 2 { force as kN "Force" }',
  },
  decimal: {
    values: ['","', '"."'],
    form: 'decimal ","',
    documentation: 'Decimal sign of the numbers; a point where nothing is said.',
    example: 'table Press = file("press.csv") decimal "," { force as kN "Force" }',
  },
  thousands: {
    values: ['"."', '","', '" "'],
    form: 'thousands "."',
    documentation: 'Sign between thousands; none where nothing is said.',
    example: 'table Press = file("press.csv") decimal "," thousands "." { force as kN "Force" }',
  },
  separator: {
    values: ['";"', '","', '"tab"', '"|"', '" "'],
    form: 'separator ";"',
    documentation:
      'Sign between cells: `","`, `";"`, `"tab"`, `"|"`, or `" "` for white space; where nothing is said, the one by which the header holds the columns.',
    example: 'table Press = file("press.csv") separator ";" { force as kN "Force" }',
  },
  missing: {
    values: ['"n/a"', '"-"', '""'],
    form: 'missing "n/a", "-"',
    documentation: 'Cells that hold no value on purpose: undetermined, and no finding.',
    example: 'table Press = file("press.csv") missing "n/a", "-" { force as kN "Force" }',
  },
  ignore: {
    values: ['"#"'],
    form: 'ignore "#", "Mean"',
    documentation: 'Beginnings of lines that are no rows: comments, units, sums.',
    example: 'table Press = file("press.csv") ignore "#", "Mean" { force as kN "Force" }',
  },
  columns: {
    form: 'columns 1..8, 9..16',
    documentation: 'Characters of a line for each column in its order, or numbers of cells.',
    example: 'table Run = file("run.lst") columns 1 .. 8, 9 .. 16 {\n  node as text "NODE"\n  vm as MPa "VM"\n}',
  },
} as const satisfies Rows;

/** What a parameter or a column may be that is no quantity. */
export const TYPES = {
  temperature_difference: {
    form: 'name: temperature_difference',
    isParameter: true,
    documentation: 'A difference of two temperatures; `temperature` as a type is a point.',
    example: 'let growth(alpha: expansion, length: length, dT: temperature_difference) = alpha * length * dT',
  },
  text: {
    form: 'name: text · name as text',
    isParameter: true,
    isColumn: true,
    documentation: 'A parameter that is a text; a column whose cells are texts.',
  },
  table: { form: 'name: table', isParameter: true, documentation: 'A parameter that is a table, such as a spectrum.' },
  list: {
    form: 'name: list',
    isParameter: true,
    documentation: 'A parameter that is a list; `[length]` is a list of lengths.',
  },
  vector: {
    form: 'name: vector',
    isParameter: true,
    documentation: 'A parameter that is a vector, of whatever dimension.',
  },
  condition: {
    form: 'name: condition',
    isParameter: true,
    documentation: 'A parameter that is a condition: true or false.',
  },
  any: { form: 'name: any', isParameter: true, documentation: 'A parameter that may be anything.' },
  load: {
    form: 'name: load · name as load',
    isParameter: true,
    isColumn: true,
    documentation: 'A parameter that is a load or a case; a column whose cells name loads.',
  },
  part: {
    form: 'name: part · name as part',
    isParameter: true,
    isColumn: true,
    documentation: 'A parameter that is a part; a column whose cells name parts.',
  },
  material: {
    form: 'name: material · name as material',
    isParameter: true,
    isColumn: true,
    documentation: 'A parameter that is a material; a column whose cells name materials.',
  },
  date: {
    form: 'name: date · name as date',
    isParameter: true,
    isColumn: true,
    documentation: 'A parameter that is a day; a column whose cells are days.',
  },
  case: {
    form: 'name as case',
    isColumn: true,
    documentation: 'A column whose cells name load cases of an outside analysis.',
  },
  label: { form: 'name as label', isColumn: true, documentation: 'A column whose cells are labels.' },
  lot: { form: 'name as lot', isColumn: true, documentation: 'A column whose cells name lots.' },
  article: { form: 'name as article', isColumn: true, documentation: 'A column whose cells name articles.' },
  word: { form: 'name as word', isColumn: true, documentation: 'A column whose cells are words.' },
} as const satisfies Rows;

export type HeadWord = keyof typeof HEADS;

const typesWhere = (holds: (row: WordRow) => boolean): ReadonlySet<string> =>
  new Set(Object.entries<WordRow>(TYPES).flatMap(([word, row]) => (holds(row) ? [word] : [])));

/** Types of parameters that are no quantity; `temperature_difference` is one. */
export const PARAMETER_TYPES = typesWhere(({ isParameter }) => isParameter === true);

/** Types of columns that hold no numbers. */
export const COLUMN_TYPES = typesWhere(({ isColumn }) => isColumn === true);
