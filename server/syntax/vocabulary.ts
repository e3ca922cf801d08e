/**
 * What each word of the language does, once for each way in which it acts: completion, hovers and the reference read it
 * here. Blocks and their fields have their texts in `server/model/blocks.ts`; only their examples stand here.
 */

export type WordKind =
  /** Begins a statement. */
  | 'statement'
  /** Follows a value, a check or a condition, and belongs to it. */
  | 'suffix'
  /** Stands in the head of a block, behind its name. */
  | 'head'
  /** Acts inside expressions. */
  | 'operator'
  /** How a table is read between its keys. */
  | 'interpolation'
  /** In the head of a table or of results: how the file is written. */
  | 'format'
  /** What a parameter may be that is no quantity. */
  | 'type'
  /** One of a few words that may stand in a place: a method, a level, a basis. */
  | 'choice';

export interface WordDoc {
  readonly word: string;
  readonly kind: WordKind;
  /** The whole of it as it is written, places to fill in as words; for a choice, where it may stand. */
  readonly takes: string;
  readonly documentation: string;
  /** Text of the language that is complete at the top of a file. */
  readonly example?: string;
}

function word(kind: WordKind, name: string, takes: string, documentation: string, example?: string): WordDoc {
  return { word: name, kind, takes, documentation, ...(example === undefined ? {} : { example }) };
}

function choices(takes: string, words: Readonly<Record<string, string>>): WordDoc[] {
  return Object.entries(words).map(([name, documentation]) => word('choice', name, takes, documentation));
}

/** A tested part, for examples about what it was tested with. */
const TESTED =
  'part Lug "Lug" {\n  requirement LUG-01 "The lug shall carry 3 kN." { verify by test }\n}\narticle LUG-Q of Lug { built = 2027-02-10 }\n';
const WAIVED =
  'part Wall "Wall" {\n  t = 0.0765 in\n  requirement STR-031 "The wall shall be at least {least} thick." {\n    let least = 0.080 in\n    check t >= least\n    verify by analysis\n  }\n}\nwaiver WVR-07 for STR-031 {\n  accepts margin >= -0.05\n  reason = "local thin spot, stress re-run"\n  approved = "materials review board"\n  expires = 2027-09-30\n}';

const STATEMENTS: readonly WordDoc[] = [
  word(
    'statement',
    'let',
    'let name = value · let name(a, b: type): type = value',
    'A value with a name, or a calculation with parameters.',
    'let area = 24 mm * 3.2 mm\nlet stress(F) = F / area',
  ),
  word(
    'statement',
    'formula',
    'formula name(a: type, b: type): type = value requires condition, …',
    'A calculation with named, typed inputs. Outside of what it requires it has no value.',
    '/// Axial stress of a strip.\nformula strip_stress(F: force, b: length, t: length): stress = F / (b * t)\n  requires b > 0 mm, t > 0 mm',
  ),
  word(
    'statement',
    'unit',
    'unit name = quantity',
    'A unit of your own, exact in others.',
    'unit furrow = 3.5 m\nlet field = 2 furrow',
  ),
  word(
    'statement',
    'use',
    'use "path" as Name pin "revision"',
    'At the top of a file: brings in another folder or file as a library, under a name and held to a revision.',
    'use "../house" as House pin "1.0"',
  ),
  word(
    'statement',
    'severity',
    'severity code = level by milestone · … before milestone',
    'In the project block: how a finding is told, always, from a milestone on, or until one.',
    'project Cordgrass "Cordgrass" {\n  date = 2027-06-01\n  severity tbc = warning\n}',
  ),
  word(
    'statement',
    'check',
    'check mode for x in list, y in list: condition thin limit under assumption',
    'A comparison that has to hold, in every case that it sweeps. Its mode is the failure mode; its margin follows from both sides.',
    'requirement TRAY-01 "The tray shall carry 3 kN." {\n  check yield: 3 kN <= 4 kN\n  verify by analysis\n}',
  ),
  word(
    'statement',
    'verify',
    'verify by method on article level by milestone, method …',
    'How it is shown that the requirement is met: each method, where it matters with the article, the level and the milestone by which it is due.',
    'requirement TRAY-02 "The tray shall show no crack." {\n  verify by inspection, test\n}',
  ),
  word(
    'statement',
    'parent',
    'parent LABEL, LABEL, …',
    'The requirements that this one is derived from. A parent is no better than its worst child.',
    'requirement SYS-004 "The structure shall carry launch." { verify by analysis }\nrequirement STR-010 "The deck shall carry launch." {\n  parent SYS-004\n  verify by analysis\n}',
  ),
  word(
    'statement',
    'supersedes',
    'supersedes LABEL, …',
    'In evidence: the earlier evidence that this takes the place of, such as a test that failed.',
    `${TESTED}evidence TR-9 for LUG-01 on LUG-Q "Pull test" {\n  method = test\n  report = file("TR-9.csv")\n  date = 2027-03-02\n  result = inconclusive\n}\nevidence TR-12 for LUG-01 on LUG-Q "Pull test, repeated" {\n  method = test\n  report = file("TR-12.csv")\n  date = 2027-05-02\n  result = pass\n  supersedes TR-9\n}`,
  ),
  word(
    'statement',
    'rationale',
    'rationale "text"',
    'Why the requirement, or the assumption, is as it is.',
    'assume A-01 "Both trays carry half of the battery each." {\n  rationale "They are alike and stand on the same rails."\n}',
  ),
  word('statement', 'source', 'source Document "place"', 'In a requirement: the document and the place it comes from.'),
  word(
    'statement',
    'needs',
    'needs mode, mode, …',
    'In a kind: the failure modes in which every part of the kind has to be checked.',
    'kind Strap "Strap that carries a pull" {\n  given width: length, t: length, pull: force\n  needs yield\n  requirement STRAP-YLD "The {name} shall carry its pull." {\n    check yield: pull / (width * t) <= 400 MPa\n    verify by analysis\n  }\n}',
  ),
  word(
    'statement',
    'given',
    'given name: type, name: type = value, …',
    'In a kind: the values that every part of the kind states.',
    'kind Strap "Strap that carries a pull" {\n  given width: length, t: length, pull: force\n  let stress = pull / (width * t)\n}',
  ),
  word(
    'statement',
    'exempt',
    'exempt Load, … because "reason"',
    'In a part or a kind: loads and environments that it need not be checked for, and why.',
    'load Hoist "Hoisting" { axial = 2 g0   level = limit }\npart Cover "Cover" {\n  exempt Hoist because "It is mounted afterwards."\n}',
  ),
  word(
    'statement',
    'holds',
    'holds while condition',
    'In evidence: it counts while this is so; where it no longer is, the evidence has lapsed.',
    `${TESTED}part Tray "Tray" { t = 3.2 mm }\nevidence TR-3 for LUG-01 on LUG-Q "Pull test" {\n  method = test\n  report = file("TR-3.csv")\n  date = 2027-05-02\n  result = pass\n  holds while Tray.t >= 3.0 mm\n}`,
  ),
  word(
    'statement',
    'accepts',
    'accepts margin >= limit',
    'In a waiver: how bad the margin may be, in every row, for the waiver to cover it.',
    WAIVED,
  ),
  word(
    'statement',
    'imprint',
    'imprint "hash"',
    'What the inputs were when the evidence or the results were made. Imprints are not compared yet: what states one keeps its method open.',
  ),
  word(
    'statement',
    'checked',
    'checked "name" date imprint "hash"',
    'In a requirement: who looked at it, and when.',
    'requirement STR-010 "The deck shall carry launch." {\n  checked "R. Marsh" 2027-05-20\n  verify by analysis\n}',
  ),
  word('statement', 'least', 'least goal', 'In a size block: what is to be as small as possible. Not evaluated yet.'),
  word(
    'statement',
    'free',
    'free Part.value, …',
    'In a size block: the values that may vary within their ranges. Not evaluated yet.',
    'part Tray "Tray" { t = 3.2 mm within 2 mm .. 6 mm step 0.2 mm }\nsize TraySize {\n  least Tray.t\n  free Tray.t\n}',
  ),
  word(
    'statement',
    'study',
    'study',
    'In a configuration: it is looked at on request only and does not count for the headline.',
    'part Tray "Tray" { t = 3.2 mm }\nconfiguration Thin "Thinner tray" {\n  study\n  Tray.t = 2.8 mm\n}',
  ),
  word(
    'statement',
    'slot',
    'slot name = value',
    'In a part: a place that each configuration fills differently.',
    'part Radar "Radar" { mass = 8 kg }\npart Bus "Vehicle" {\n  slot payload = Radar\n}',
  ),
  word(
    'statement',
    'measured',
    'measured name = value',
    'In an article or in evidence: a measured value, held at its worst against the limit of the check that its name belongs to.',
    'part Wall "Wall" { t = 2 mm }\narticle SN-007 of Wall {\n  built = 2027-04-01\n  measured t = 1.96 mm ± 0.01 mm\n}',
  ),
  word('statement', 'from', 'from Entity, …', 'In results: what was given to the analysis.'),
  word(
    'statement',
    'column',
    'name as unit "Header" · name as type above "Header"',
    'In a table or results: a column of the file, with its unit or type and, where it differs, its header. It is written without a word of its own.',
    'table Coupons = file("coupons.csv") {\n  strength as MPa "Strength"\n  direction as text "Direction"\n}',
  ),
  word(
    'statement',
    'override',
    'Part.value = value',
    'In a configuration: another value for one of the shared model. It is written without a word of its own.',
    'part Tray "Tray" { t = 3.2 mm }\nconfiguration Thick "Thicker tray" { Tray.t = 3.6 mm }',
  ),
];

const SUFFIXES: readonly WordDoc[] = [
  word(
    'suffix',
    'basis',
    'value basis A',
    'Statistical basis of an allowable: A, B, S or typical.',
    'material Plate "Plate" { yield = 391 MPa basis A source "data sheet 11" }',
  ),
  word(
    'suffix',
    'source',
    'value source Document "place"',
    'Where the value comes from: a document of the project with the place in it, or a text.',
    'document GUIDE "Launch guide" { revision = "4.1" }\nlet limit = 100 Hz source GUIDE "table 4-2"',
  ),
  word(
    'suffix',
    'maturity',
    'mass maturity word',
    'How well a mass is known: a row of the growth table that applies.',
    'growth Structure { estimated = 18 %   measured = 0 % }\npart Deck "Deck" { growth = Structure   mass = 2 kg maturity estimated }',
  ),
  word(
    'suffix',
    'within',
    'value within low .. high step step',
    'The range that the value may be sized or tried in.',
    'part Tray "Tray" { t = 3.2 mm within 2 mm .. 6 mm step 0.2 mm }',
  ),
  word(
    'suffix',
    'step',
    'low .. high step step',
    'The steps through a range: of a sweep, or of what may be tried. Both ends always belong to it.',
    'let total = sum(for n in 1 .. 5 step 2: n)',
  ),
  word(
    'suffix',
    'tbc',
    'value tbc',
    'To be confirmed. Whatever depends on it stays open until then.',
    'let limit = 100 Hz tbc',
  ),
  word(
    'suffix',
    'from',
    'Material from LOT, …',
    'The lot, or lots, that a part or an article is made from.',
    'material Plate "Plate" { density = 2.8 g/cm^3 }\nlot L-1 of Plate { certificate = file("certs/L-1.txt")   received = 2027-01-11 }\npart Bracket "Bracket" { material = Plate from L-1 }',
  ),
  word(
    'suffix',
    'revision',
    '"drawing" revision "B"',
    'Revision of a drawing: an article counts for a part while it was built to the revision in force.',
    'part Bracket "Bracket" { drawing = "CB-01" revision "B" }',
  ),
  word(
    'suffix',
    'under',
    'value under LABEL, …',
    'The assumptions that the value or the check rests on.',
    'assume A-02 "A peak of random vibration is three times its root mean square." { }\nlet peak = 3 * 6.2 g0 under A-02',
  ),
  word(
    'suffix',
    'owner',
    'TBD unit owner "who"',
    'Who determines the value.',
    'let settling = TBD rad owner "payload lead"',
  ),
  word(
    'suffix',
    'due',
    'TBD unit due milestone',
    'The milestone by which the value is determined.',
    'milestone CDR "Critical design review" { date = 2027-04-20 }\nlet settling = TBD rad due CDR',
  ),
  word(
    'suffix',
    'use',
    'TBD unit use value',
    'The figure to plan with until the value is determined. It is written for readers; nothing is calculated with it.',
    'let settling = TBD rad owner "payload lead" use 22e-6 rad',
  ),
  word(
    'suffix',
    'at',
    'count at [position, …]',
    'Where each of several items lies.',
    'part Wheel "Wheel" { mass = 0.5 kg   count = 2 at [(200, 0, 150), (-200, 0, 150)] mm }',
  ),
  word(
    'suffix',
    'in',
    'position in Frame',
    'The frame that a position is counted in.',
    'part Bus "Vehicle" {\n  frame Panel "Inner face of the panel" { origin = (262, -198, 0) mm }\n  part Radio "Radio" { mass = 0.8 kg   position = (20, 0, 30) mm in Panel }\n}',
  ),
  word(
    'suffix',
    'any',
    'value any',
    'Of a lateral load: in every direction across the axis.',
    'load Liftoff "Lift-off" { axial = -2 g0 .. 8 g0   lateral = 3 g0 any   level = limit }',
  ),
  word(
    'suffix',
    'thin',
    'condition thin limit',
    'The margin, or the distance, below which this check is shown as thin.',
    'requirement FIT-001 "The gap shall be at least 0.1 mm." {\n  check 0.25 mm >= 0.1 mm thin 20 %\n  verify by analysis\n}',
  ),
  word('suffix', 'because', 'exempt Load because "reason"', 'Why a load does not concern the part.'),
  word(
    'suffix',
    'requires',
    'formula … = value requires condition, …',
    'Where a formula holds. Outside it a call is undetermined.',
    'formula slenderness(L: length, r: length): number = L / r\n  requires r > 0 mm',
  ),
  word(
    'suffix',
    'where',
    'for x in list where condition: value',
    'Leaves out what does not meet the condition.',
    'let even = count(for n in 1 .. 6 step 1 where n > 3: n)',
  ),
  word(
    'suffix',
    'normal',
    'value ± spread normal n',
    'The tolerance is a normal distribution, its ends n standard deviations out; for `rss_low` and `rss_high`.',
    'let slot_width = 12.45 mm ± 0.08 mm normal 3\nlet least = rss_low(slot_width, 3)',
  ),
  word(
    'suffix',
    'uniform',
    'value ± spread uniform',
    'The tolerance is a uniform distribution between its ends; for `rss_low` and `rss_high`.',
    'let gap = 0.25 mm ± 0.05 mm uniform',
  ),
  word('suffix', 'while', 'holds while condition', 'Opens the condition under which evidence counts.'),
  word(
    'suffix',
    'on',
    'method on article',
    'Behind a method: the article, or the part of which any article will do, that it is done on.',
  ),
  word('suffix', 'each', 'method on each Part', 'Behind `on`: the method is done on every article of the part.'),
  word(
    'suffix',
    'by',
    'verify by method · method by milestone · severity … by milestone',
    'Opens the list of methods; behind a method the milestone it is due at, behind a severity the one from which it holds.',
  ),
  word('suffix', 'before', 'severity code = level before milestone', 'The milestone until which a severity holds.'),
  word('suffix', 'of', 'verify by review of design', 'Part of the method *review of design*.'),
  word(
    'suffix',
    'pin',
    'use "path" pin "revision"',
    'The revision, or the twelve hexadecimal digits, that a library is held to.',
  ),
  word(
    'suffix',
    'above',
    'name as type above "Header"',
    'Of a column: its value stands behind the header in a title above the rows.',
  ),
];

const HEADS: readonly WordDoc[] = [
  word(
    'head',
    'of',
    'lot LABEL of Material · article LABEL of Part',
    'The material of a lot; the part, or material, of an article.',
  ),
  word(
    'head',
    'is',
    'part Name is Kind',
    'The kind that a part is of: it has the requirements and values of the kind.',
  ),
  word(
    'head',
    'for',
    'evidence LABEL for REQUIREMENT, …',
    'The requirements that evidence, a waiver or a nonconformance is about; the part that a requirement is for. `for L in [Liftoff]` behind it names the cases that evidence closes.',
  ),
  word(
    'head',
    'on',
    'evidence LABEL for … on ARTICLE',
    'The article that evidence was taken on, or that a waiver or nonconformance is about.',
  ),
  word('head', 'from', 'article LABEL of Part from LOT', 'The lot, or lots, that an article was made from.'),
  word(
    'head',
    'in',
    'part Name in Assembly · frame Name in Frame · evidence … in Configuration',
    'The assembly that a part belongs to; the frame that a frame stands in; the configurations that evidence was taken in or a waiver is for.',
  ),
];

const OPERATORS: readonly WordDoc[] = [
  word('operator', 'and', 'condition and condition', 'Both hold. A check takes the smaller of the two margins.'),
  word('operator', 'or', 'condition or condition', 'One of both holds. A check takes the larger of the two margins.'),
  word('operator', 'not', 'not condition', 'The condition does not hold.'),
  word(
    'operator',
    'if',
    'if condition then value else value',
    'One of two values of the same dimension, by a condition.',
    'let torque = 9 N*m\nlet ratio = if torque > 5 N*m then 2 else 1',
  ),
  word('operator', 'then', 'if condition then value else value', 'The value where the condition holds.'),
  word('operator', 'else', 'if condition then value else value', 'The value where the condition does not hold.'),
  word(
    'operator',
    'for',
    'for x in list, y in list where condition: value',
    'Runs over a list, a range, the rows of a table or the cases of a load: in a check, and in `sum`, `min`, `max`, `all`, `any`, `count`, `list`, `rss` and `mean`.',
    'let heights = [20 mm, 35 mm, 15 mm]\nlet total = sum(for h in heights: h)',
  ),
  word('operator', 'in', 'for x in list', 'What the name before it runs over. Behind a number `in` is the inch.'),
  word(
    'operator',
    'as',
    'value as unit',
    'Shows a value in a unit; the value stays the same. In a column it gives the unit or type, in `use` the name of the library.',
    'let slow = 2 * 3.5 kg as lbm',
  ),
  word('operator', 'true', 'true', 'A condition that holds.'),
  word('operator', 'false', 'false', 'A condition that does not hold.'),
  word(
    'operator',
    'TBD',
    'TBD unit owner "who" due milestone',
    'To be determined: a dimension without a value. Whatever depends on it is undetermined, never a pass.',
    'part Box "Box" { mass = TBD kg owner "mass lead" }',
  ),
];

const INTERPOLATIONS: readonly WordDoc[] = [
  word(
    'interpolation',
    'linear',
    '[x -> y, …] linear',
    'Straight lines between the rows of a table; what holds where nothing is said.',
  ),
  word(
    'interpolation',
    'loglog',
    '[x -> y, …] loglog',
    'Straight lines where both axes are logarithmic: spectra.',
    'let psd = [20 Hz -> 0.026 g0^2/Hz, 50 Hz -> 0.16 g0^2/Hz] loglog\nlet between = psd(30 Hz)',
  ),
  word(
    'interpolation',
    'semilog',
    '[x -> y, …] semilog',
    'Straight lines where the axis of the keys is logarithmic.',
    'let curve = [1e3 -> 300 MPa, 1e6 -> 120 MPa] semilog',
  ),
  word(
    'interpolation',
    'step',
    '[x -> y, …] step',
    'The value of a row holds up to the next one.',
    'let sizes = [0 kg -> 10 %, 5 kg -> 8 %] step',
  ),
  word(
    'interpolation',
    'exact',
    '[x -> y, …] exact',
    'Only the keys that are listed have a value.',
    'let gauge = [1 -> 0.8 mm, 2 -> 1.0 mm] exact',
  ),
];

const FORMATS: readonly WordDoc[] = [
  word('format', 'skip', 'skip 2', 'Lines before the header.'),
  word('format', 'decimal', 'decimal ","', 'Decimal sign of the numbers; a point where nothing is said.'),
  word('format', 'thousands', 'thousands "."', 'Sign between thousands; none where nothing is said.'),
  word(
    'format',
    'separator',
    'separator ";"',
    'Sign between cells: `","`, `";"`, `"tab"`, `"|"`, or `" "` for white space; where nothing is said, the one by which the header holds the columns.',
  ),
  word('format', 'missing', 'missing "n/a", "-"', 'Cells that hold no value on purpose: undetermined, and no finding.'),
  word('format', 'ignore', 'ignore "#", "Mean"', 'Beginnings of lines that are no rows: comments, units, sums.'),
  word(
    'format',
    'columns',
    'columns 1..8, 9..16',
    'Characters of a line for each column in its order, or numbers of cells.',
  ),
];

const TYPES: readonly WordDoc[] = [
  word(
    'type',
    'temperature_difference',
    'name: temperature_difference',
    'A difference of two temperatures; `temperature` as a type is a point.',
    'let growth(alpha: expansion, length: length, dT: temperature_difference) = alpha * length * dT',
  ),
  word('type', 'text', 'name: text · name as text', 'A parameter that is a text; a column whose cells are texts.'),
  word('type', 'table', 'name: table', 'A parameter that is a table, such as a spectrum.'),
  word('type', 'list', 'name: list', 'A parameter that is a list; `[length]` is a list of lengths.'),
  word('type', 'vector', 'name: vector', 'A parameter that is a vector, of whatever dimension.'),
  word('type', 'condition', 'name: condition', 'A parameter that is a condition: true or false.'),
  word('type', 'any', 'name: any', 'A parameter that may be anything.'),
  word(
    'type',
    'load',
    'name: load · name as load',
    'A parameter that is a load or a case; a column whose cells name loads.',
  ),
  word('type', 'part', 'name: part · name as part', 'A parameter that is a part; a column whose cells name parts.'),
  word(
    'type',
    'material',
    'name: material · name as material',
    'A parameter that is a material; a column whose cells name materials.',
  ),
  word('type', 'date', 'name: date · name as date', 'A parameter that is a day; a column whose cells are days.'),
  word('type', 'case', 'name as case', 'A column whose cells name load cases of an outside analysis.'),
  word('type', 'label', 'name as label', 'A column whose cells are labels.'),
  word('type', 'lot', 'name as lot', 'A column whose cells name lots.'),
  word('type', 'article', 'name as article', 'A column whose cells name articles.'),
  word('type', 'word', 'name as word', 'A column whose cells are words.'),
];

const CHOICES: readonly WordDoc[] = [
  ...choices('verify by … · method = …', {
    analysis: 'Verified by calculation: closed by checks that pass and reach nothing provisional.',
    test: 'Verified by a test of a built article: closed by evidence.',
    inspection: 'Verified by looking at or measuring a built article: closed by evidence.',
    demonstration: 'Verified by doing it once: closed by evidence.',
    review_of_design:
      'Verified by reading the design; written `review of design` behind `verify by`. Closed by evidence.',
    review: 'Short for review of design.',
  }),
  ...choices('level = … · verify by test on SN-1 …', {
    limit: 'The greatest load expected in service, without a factor.',
    qualification: 'Level of a test that qualifies the design, on an article that does not fly.',
    acceptance: 'Level of a test that accepts an article that flies.',
    protoflight: 'Level of a test that qualifies the design on an article that flies.',
    development: 'Level of a test made to learn, before the design is fixed.',
    flight: 'What the article sees in flight.',
    ultimate: 'A load that contains the ultimate factor already.',
  }),
  ...choices('result = …', {
    pass: 'The evidence shows that the requirement is met.',
    fail: 'The evidence shows that it is not met: the requirement is failing until later evidence supersedes it.',
    inconclusive: 'The evidence shows neither; it closes nothing.',
  }),
  ...choices('basis …', {
    A: 'At least 99 % of specimens lie above it, with 95 % confidence.',
    B: 'At least 90 % of specimens lie above it, with 95 % confidence.',
    S: 'A minimum that a specification promises.',
    typical: 'An average; no allowable.',
  }),
  ...choices('class = …', {
    metal: 'Wrought, cast or forged metal.',
    printed: 'Additively manufactured material: its lots state when they expire.',
    composite: 'Fibre composite: its lots state when they expire.',
    bonded: 'Adhesive joint: its lots state when they expire.',
    ceramic: 'Glass and ceramic.',
    fastener: 'Bolts and other fasteners.',
  }),
  ...choices('tested = …', {
    yes: 'The factors presume a strength test of the part.',
    no: 'The factors presume no test.',
  }),
  ...choices('side = …', {
    load: 'The members multiply the load: factors of safety.',
    allowable: 'The members multiply the allowable: knock-downs, each at most 1.',
  }),
  ...choices('disposition = …', {
    use_as_is: 'The article is used as it is: shown by a check at the as-built value or covered by a waiver.',
    rework: 'The article is brought back to its drawing: closed by evidence on it since.',
    repair: 'The article is mended in another way: closed by evidence on it since.',
    scrap: 'The article is not used.',
    return: 'The article goes back to its supplier.',
  }),
  ...choices('severity code = …', {
    error: 'The finding is an error.',
    warning: 'The finding is a warning.',
    information: 'The finding is for information.',
    hint: 'The finding is a hint.',
    off: 'The finding is not told.',
  }),
  ...choices('status of a requirement', {
    failing: 'A check fails, or evidence of a failure or a nonconformance stands.',
    undetermined: 'A check, or something it needs, has no result. Never a pass.',
    waived: 'It fails, within the terms of a waiver that is in force.',
    lapsed: 'Its evidence no longer counts.',
    unverified: 'Nothing fails, and a method is still open.',
    verified: 'Every check passes and every method is closed.',
  }),
];

export const VOCABULARY: readonly WordDoc[] = [
  ...STATEMENTS,
  ...SUFFIXES,
  ...HEADS,
  ...OPERATORS,
  ...INTERPOLATIONS,
  ...FORMATS,
  ...TYPES,
  ...CHOICES,
];

/** What a word does where it acts as one of these kinds, in their order; null where it has no such use. */
export function wordDoc(name: string, ...kinds: readonly WordKind[]): WordDoc | null {
  for (const kind of kinds) {
    const found = VOCABULARY.find(entry => entry.word === name && entry.kind === kind);
    if (found) return found;
  }
  return null;
}

/** An example of each block, complete at the top of a file. */
export const BLOCK_EXAMPLES: Readonly<Record<string, string>> = {
  project:
    'project Cordgrass "Cordgrass microsatellite" {\n  revision = "C"\n  date = 2027-06-01\n  thin_margin = 10 %\n}',
  document: 'document GUIDE "Launch guide" { revision = "4.1"   date = 2026-03-02   customer = true }',
  milestone: 'milestone CDR "Critical design review" { date = 2027-04-20 }',
  environment: 'environment Orbit "Sun-synchronous orbit, 510 km" { cold = -40 degC   hot = 70 degC   life = 5 yr }',
  load: 'load Liftoff "Lift-off" {\n  axial = -2.0 g0 .. 8.0 g0\n  lateral = 3.0 g0 any\n  temperature = 10 degC .. 40 degC\n  level = limit\n}',
  case: 'load RandomX "Random, x" { axial = 6 g0   level = limit }\nload RandomY "Random, y" { lateral = 6 g0   level = limit }\nload Liftoff "Lift-off" { axial = 7.5 g0   level = limit }\ncase Ascent "Lift-off with random vibration" = Liftoff + rss(RandomX, RandomY)',
  factors:
    'factors FlightMetal "Metal, tested" {\n  class = metal\n  tested = yes\n  level = limit\n  yield = 1.25\n  ultimate = 1.4\n}',
  growth: 'growth Structure "Growth of structure" { estimated = 18 %   calculated = 10 %   measured = 0 % }',
  material:
    'material AlPlate "Aluminium alloy plate" {\n  class = metal\n  density = 2.80 g/cm^3\n  yield = [-55 degC -> 408 MPa, 85 degC -> 374 MPa] basis A source "data sheet 3"\n}',
  lot: 'material AlPlate "Plate" { density = 2.80 g/cm^3 }\nlot L-1 of AlPlate { certificate = file("certs/L-1.txt")   received = 2027-01-11 }',
  part: 'part Bus "Vehicle" {\n  part Tray "Battery tray" {\n    drawing = "CG-2010" revision "B"\n    t = 3.2 mm\n    mass = 0.4 kg\n  }\n}',
  kind: 'kind Strap "Strap that carries a pull" {\n  given width: length, t: length, pull: force\n  requirement STRAP-YLD "The {name} shall carry its pull." {\n    check yield: pull / (width * t) <= 400 MPa\n    verify by analysis\n  }\n}\npart Left "Left strap" is Strap { width = 12 mm   t = 1.5 mm   pull = 4 kN }',
  frame:
    'part Bus "Vehicle" {\n  frame Panel "Inner face of the panel" { origin = (262, -198, 0) mm   rotate = (0, 0, 90) deg }\n}',
  requirement:
    'requirement BR-02 "The bracket shall have a first frequency of at least {limit}." {\n  let limit = 100 Hz\n  check frequency: 131 Hz >= limit\n  verify by analysis, test\n}',
  evidence: `${TESTED}evidence TR-1 for LUG-01 on LUG-Q "Pull test" {\n  method = test\n  report = file("TR-1.csv")\n  date = 2027-03-02\n  result = pass\n}`,
  waiver: WAIVED,
  article:
    'material AlPlate "Plate" { density = 2.80 g/cm^3 }\nlot L-3 of AlPlate { certificate = file("certs/L-3.txt")   received = 2027-01-11 }\npart Tank "Tank" { material = AlPlate from L-3   mass = 1.2 kg }\narticle SN-007 of Tank from L-3 { built = 2027-04-01   mass = 1.21 kg }',
  nonconformance: `${TESTED}nonconformance NC-07 for LUG-01 on LUG-Q "Scratch at the hole" {\n  disposition = scrap\n  date = 2027-05-09\n  reason = "tool dropped"\n}`,
  results:
    'results FE7 "Run 7" = file("fe/run7.csv") skip 3 {\n  model = "7"\n  part as part\n  case as case\n  vm as MPa "Von Mises"\n}',
  table: 'table Press = file("press.csv") decimal "," thousands "." ignore "#" { force as kN "Force" }',
  configuration:
    'part Radar "Radar" { mass = 8 kg }\npart Optics "Optics" { mass = 9 kg }\npart Bus "Vehicle" { slot payload = Radar }\nconfiguration WithOptics "Optical payload" { Bus.payload = Optics }',
  assume:
    'assume A-02 "A peak of random vibration is three times its root mean square." {\n  rationale "Normal distribution, 99.7 %."\n}',
  size: 'part Tray "Tray" { t = 3.2 mm within 2 mm .. 6 mm }\nsize TraySize { least Tray.t   free Tray.t }',
};

/** An example of each function that the language itself has, with its value where it has one. */
export const BUILTIN_EXAMPLES: Readonly<Record<string, string>> = {
  sqrt: 'let rate = sqrt(200 N/m / (2 kg))  //= 10 1/s',
  cbrt: 'let side = cbrt(8 mm^3)  //= 2 mm',
  abs: 'let size = abs(-3 g0)  //= 3 g0',
  exp: 'let grown = exp(ln(3))  //= 3',
  ln: 'let time_constants = ln(exp(2))  //= 2',
  log10: 'let decibels = 10 * log10(100)  //= 20',
  sin: 'let across = 10 N * sin(30 deg)  //= 5 N',
  cos: 'let along = 10 N * cos(60 deg)  //= 5 N',
  tan: 'let slope = tan(45 deg)  //= 1',
  asin: 'let lean = asin(0.5) as deg  //= 30 deg',
  acos: 'let half = acos(0.5) as deg  //= 60 deg',
  atan: 'let tilt = atan(1) as deg  //= 45 deg',
  atan2: 'let direction = atan2(3 N, 3 N) as deg  //= 45 deg',
  floor: 'let whole = floor(2.7)  //= 2',
  ceil: 'let screws = ceil(2.1)  //= 3',
  round: 'let nearest = round(2.6)  //= 3',
  sign: 'let side = sign(-4)  //= -1',
  min: 'let least = min(3 mm, 2 mm)  //= 2 mm',
  max: 'let worst = max(for n in [1, 4, 2]: n * 10 N)  //= 40 N',
  sum: 'let total = sum(for m in [2 kg, 3 kg]: m)  //= 5 kg',
  all: 'requirement SCR-1 "The screws shall be M4 or larger." {\n  check all(for d in [4 mm, 5 mm]: d >= 4 mm)\n  verify by analysis\n}',
  any: 'requirement SCR-2 "One screw shall be M5 or larger." {\n  check any(for d in [4 mm, 5 mm]: d >= 5 mm)\n  verify by analysis\n}',
  count: 'let screws = count([4 mm, 5 mm, 5 mm])  //= 3',
  list: 'let doubled = list(for n in [1, 2, 3] where n > 1: 2 * n)\nlet least = min(doubled)  //= 4',
  area: 'let psd = [20 Hz -> 0.1 g0^2/Hz, 120 Hz -> 0.1 g0^2/Hz]\nlet level = sqrt(area(psd)) as g0  //= 3.1622776602 g0 ± 1e-9 g0',
  maximum: 'let strength = [-55 degC -> 408 MPa, 85 degC -> 374 MPa]\nlet most = maximum(strength)  //= 408 MPa',
  minimum: 'let strength = [-55 degC -> 408 MPa, 85 degC -> 374 MPa]\nlet least = minimum(strength)  //= 374 MPa',
  reserve:
    'let tension = 0.5\nlet shear = 0.6\nlet factor = reserve(k: (k * tension)^2 + (k * shear)^2 <= 1)  //= 1.2803687993 ± 1e-8',
  root: 'let depth = root(x in 0 mm .. 5 mm: x * x - 4 mm^2)  //= 2 mm',
  rss: 'let together = rss(3 g0, 4 g0)  //= 5 g0',
  corners:
    'load Liftoff "Lift-off" { axial = -2 g0 .. 8 g0   lateral = 3 g0 any   level = limit }\nrequirement CAM-1 "The camera shall stay below 100 N of axial load." {\n  check for L in corners(Liftoff): 1 kg * abs(L.axial) <= 100 N\n  verify by analysis\n}',
  knots:
    'let strength = [-55 degC -> 408 MPa, 23 degC -> 393 MPa, 85 degC -> 374 MPa]\nrequirement PLT-1 "The plate shall carry 300 MPa from cold to hot." {\n  check for T in knots(-40 degC .. 70 degC): 300 MPa <= strength(T)\n  verify by analysis\n}',
  nominal: 'let t = 3 mm ± 0.1 mm\nlet drawn = nominal(t)  //= 3 mm',
  low: 'let t = 3 mm ± 0.1 mm\nlet thinnest = low(t)  //= 2.9 mm',
  high: 'let t = 3 mm ± 0.1 mm\nlet thickest = high(t)  //= 3.1 mm',
  rss_low: 'let t = 3 mm ± 0.3 mm normal 3\nlet likely_least = rss_low(t, 2)  //= 2.8 mm',
  rss_high: 'let t = 3 mm ± 0.3 mm normal 3\nlet likely_most = rss_high(t, 2)  //= 3.2 mm',
  independent: 'let strip = 0.1 mm ± 0.02 mm\nlet two = high(sum(independent(2, strip)))  //= 0.24 mm',
  probability: 'let gap = 0.2 mm ± 0.06 mm normal 3\nlet fits = probability(gap >= 0.1 mm)  // not evaluated yet',
  sensitivity: 'let t = 3 mm\nlet per_thickness = sensitivity(2 * t, t)  // not evaluated yet',
  point: 'let warm = point(300 K)  //= 26.85 degC',
  absolute: 'let radiated = absolute(20 degC)  //= 293.15 K',
  mean: 'let middle = mean(-20 degC, 60 degC)  //= 20 degC',
  dot: 'let work = dot((3, 0, 4) N, (2, 0, 1) m)  //= 10 N*m',
  cross: 'let moment = norm(cross((2, 0, 0) m, (0, 3, 0) N))  //= 6 N*m',
  norm: 'let far = norm((120, 0, 50) mm)  //= 130 mm',
  parts:
    'kind Strap "Strap" { given pull: force }\npart Left is Strap { pull = 3 kN }\npart Right is Strap { pull = 4 kN }\nlet most = max(for s in parts(Strap): s.pull)  //= 4 kN',
  children:
    'part Bus "Vehicle" {\n  part Deck { mass = 2 kg }\n  part Tray { mass = 1 kg }\n}\nlet inside = sum(for p in children(Bus): p.mass)  //= 3 kg',
  file: 'table Press = file("press.csv") { force as kN "Force" }',
};
