/** Words that begin a statement, beside those that open a block. */
import type { BlockKind } from './block-rows.js';
import { DOCUMENTS } from './documents.js';
import type { WordRow } from './row.js';

export interface StatementRow extends WordRow {
  /** Kinds of block that take it. */
  readonly standsIn: readonly BlockKind[];
}

export const STATEMENTS = {
  let: {
    standsIn: ['file', 'environment', 'load', 'material', 'part', 'kind', 'requirement'],
    node: 'Let',
    rule: "'let' name=Identifier (parameters=Parameters)? (':' type=Type)? '=' value=Value",
    form: 'let name = value · let name(a, b: type): type = value · { let step = value, entry: value }',
    documentation: 'A value with a name, or a calculation with parameters.',
    example: 'let area = 24 mm * 3.2 mm\nlet stress(F) = F / area',
  },
  formula: {
    standsIn: ['file', 'environment', 'load', 'material', 'part', 'kind', 'requirement'],
    node: 'Formula',
    rule: "'formula' name=Identifier parameters=Parameters (':' type=Type)? '=' value=Value ('requires' conditions+=Expression (',' conditions+=Expression)* suffixes+=Suffix*)?",
    form: 'formula name(a: type, b: type): type = value requires condition, …',
    documentation: 'A calculation with named, typed inputs. Outside of what it requires it has no value.',
    example:
      '/// Axial stress of a strip.\nformula strip_stress(F: force, b: length, t: length): stress = F / (b * t)\n  requires b > 0 mm, t > 0 mm',
  },
  unit: {
    standsIn: ['file'],
    node: 'UnitDeclaration',
    rule: "'unit' name=Identifier '=' value=Value",
    form: 'unit name = quantity',
    documentation: 'A unit of your own, exact in others.',
    example: 'unit furrow = 3.5 m\nlet field = 2 furrow',
  },
  use: {
    standsIn: ['file'],
    node: 'Use',
    rule: "'use' path=Text ('as' name=Identifier)? ('pin' pin=Text)?",
    form: 'use "path" as Name pin "revision"',
    documentation:
      'At the top of a file: brings in another folder or file as a library, under a name and held to a revision.',
    example: 'use "../house" as House pin "1.0"',
  },
  severity: {
    standsIn: ['project'],
    node: 'Severity',
    rule: "'severity' code=Identifier '=' level=Identifier (word=('by' | 'before') milestone=Identifier)?",
    form: 'severity code = level by milestone · … before milestone',
    documentation: 'In the project block: how a finding is told, always, from a milestone on, or until one.',
    labels: true,
    example: 'project Cordgrass "Cordgrass" {\n  date = 2027-06-01\n  severity tbc = warning\n}',
  },
  check: {
    standsIn: ['file', 'part', 'requirement'],
    node: 'Check',
    rule: "'check' (mode=Identifier? 'for' binders+=Binder (',' binders+=Binder)* ':' | mode=Identifier ':')? value=Value",
    form: 'check mode for x in list, y in list: condition thin limit under assumption',
    documentation:
      'A comparison that has to hold, in every case that it sweeps. Its mode is the failure mode; its margin follows from both sides.',
    example: 'requirement TRAY-01 "The tray shall carry 3 kN." {\n  check yield: 3 kN <= 4 kN\n  verify by analysis\n}',
  },
  verify: {
    standsIn: ['requirement'],
    node: 'Verify',
    rule: "'verify' 'by' methods+=Method (',' methods+=Method)*",
    form: 'verify by method on article level by milestone, method …',
    documentation:
      'How it is shown that the requirement is met: each method, where it matters with the article, the level and the milestone by which it is due.',
    begins: 'verify by ',
    example: 'requirement TRAY-02 "The tray shall show no crack." {\n  verify by inspection, test\n}',
  },
  parent: {
    standsIn: ['requirement'],
    node: 'Parents',
    rule: "'parent' targets+=Path (',' targets+=Path)*",
    form: 'parent LABEL, LABEL, …',
    documentation: 'The requirements that this one is derived from. A parent is no better than its worst child.',
    names: ['requirement'],
    labels: true,
    example:
      'requirement SYS-004 "The structure shall carry launch." { verify by analysis }\nrequirement STR-010 "The deck shall carry launch." {\n  parent SYS-004\n  verify by analysis\n}',
  },
  supersedes: {
    standsIn: ['evidence'],
    node: 'Supersedes',
    rule: "'supersedes' targets+=Path (',' targets+=Path)*",
    form: 'supersedes LABEL, …',
    documentation: 'In evidence: the earlier evidence that this takes the place of, such as a test that failed.',
    names: ['evidence'],
    labels: true,
    example:
      'part Lug "Lug" {\n  requirement LUG-01 "The lug shall carry 3 kN." { verify by test }\n}\narticle LUG-Q of Lug { built = 2027-02-10 }\nevidence TR-9 for LUG-01 on LUG-Q "Pull test" {\n  method = test\n  report = file("TR-9.csv")\n  date = 2027-03-02\n  result = inconclusive\n}\nevidence TR-12 for LUG-01 on LUG-Q "Pull test, repeated" {\n  method = test\n  report = file("TR-12.csv")\n  date = 2027-05-02\n  result = pass\n  supersedes TR-9\n}',
  },
  rationale: {
    standsIn: ['requirement', 'assume'],
    node: 'Rationale',
    rule: "'rationale' text=Text",
    form: 'rationale "text"',
    documentation: 'Why the requirement, or the assumption, is as it is.',
    example:
      'assume A-01 "Both trays carry half of the battery each." {\n  rationale "They are alike and stand on the same rails."\n}',
  },
  source: {
    standsIn: ['requirement'],
    node: 'SourceStatement',
    rule: "'source' (document=Path text=Text? | text=Text)",
    form: 'source Document "place"',
    documentation: 'In a requirement: the document and the place it comes from.',
    names: DOCUMENTS,
    example:
      'document GUIDE "Launch guide" { revision = "4.1" }\nrequirement STR-001 "The deck shall carry launch." {\n  source GUIDE "table 4-2"\n  verify by analysis\n}',
  },
  needs: {
    standsIn: ['kind'],
    node: 'Needs',
    rule: "'needs' modes+=Identifier (',' modes+=Identifier)*",
    form: 'needs mode, mode, …',
    documentation: 'In a kind: the failure modes in which every part of the kind has to be checked.',
    example:
      'kind Strap "Strap that carries a pull" {\n  given width: length, t: length, pull: force\n  needs yield\n  requirement STRAP-YLD "The {name} shall carry its pull." {\n    check yield: pull / (width * t) <= 400 MPa\n    verify by analysis\n  }\n}',
  },
  given: {
    standsIn: ['kind'],
    node: 'Given',
    rule: "'given' items+=Parameter (',' items+=Parameter)*",
    form: 'given name: type, name: type = value, …',
    documentation: 'In a kind: the values that every part of the kind states.',
    example:
      'kind Strap "Strap that carries a pull" {\n  given width: length, t: length, pull: force\n  let stress = pull / (width * t)\n}',
  },
  exempt: {
    standsIn: ['part', 'kind'],
    node: 'Exempt',
    rule: "'exempt' targets+=Path (',' targets+=Path)* ('because' reason=Text)?",
    form: 'exempt Load, … because "reason"',
    documentation: 'In a part or a kind: loads and environments that it need not be checked for, and why.',
    names: ['load', 'case', 'environment'],
    example:
      'load Hoist "Hoisting" { axial = 2 g0   level = limit }\npart Cover "Cover" {\n  exempt Hoist because "It is mounted afterwards."\n}',
  },
  holds: {
    standsIn: ['evidence'],
    node: 'HoldsWhile',
    rule: "'holds' 'while' condition=Expression",
    form: 'holds while condition',
    documentation: 'In evidence: it counts while this is so; where it no longer is, the evidence has lapsed.',
    begins: 'holds while ',
    example:
      'part Lug "Lug" {\n  requirement LUG-01 "The lug shall carry 3 kN." { verify by test }\n}\narticle LUG-Q of Lug { built = 2027-02-10 }\npart Tray "Tray" { t = 3.2 mm }\nevidence TR-3 for LUG-01 on LUG-Q "Pull test" {\n  method = test\n  report = file("TR-3.csv")\n  date = 2027-05-02\n  result = pass\n  holds while Tray.t >= 3.0 mm\n}',
  },
  accepts: {
    standsIn: ['waiver'],
    node: 'Accepts',
    rule: "'accepts' condition=Expression",
    form: 'accepts margin >= limit',
    documentation: 'In a waiver: how bad the margin may be, in every row, for the waiver to cover it.',
    begins: 'accepts margin >= ',
    example:
      'part Wall "Wall" {\n  t = 0.0765 in\n  requirement STR-031 "The wall shall be at least {least} thick." {\n    let least = 0.080 in\n    check t >= least\n    verify by analysis\n  }\n}\nwaiver WVR-07 for STR-031 {\n  accepts margin >= -0.05\n  reason = "local thin spot, stress re-run"\n  approved = "materials review board"\n  expires = 2027-09-30\n}',
  },
  imprint: {
    standsIn: ['evidence', 'results', 'confirmation'],
    node: 'Imprint',
    rule: "'imprint' hash=STRING",
    form: 'imprint "hash"',
    documentation:
      'What the inputs were when the evidence or the results were made, or the value when it was confirmed. Those of evidence and results are not compared yet: what states one keeps its method open.',
    example:
      'part Lug "Lug" {\n  requirement LUG-01 "The lug shall carry 3 kN." { verify by test }\n}\narticle LUG-Q of Lug { built = 2027-02-10 }\nevidence TR-4 for LUG-01 on LUG-Q "Pull test" {\n  method = test\n  report = file("TR-4.csv")\n  date = 2027-05-02\n  result = pass\n  imprint "9f31c4"\n}',
  },
  checked: {
    standsIn: ['requirement'],
    node: 'CheckedBy',
    rule: "'checked' by=Text date=DATE? ('imprint' hash=STRING)?",
    form: 'checked "name" date imprint "hash"',
    documentation: 'In a requirement: who looked at it, and when.',
    example:
      'requirement STR-010 "The deck shall carry launch." {\n  checked "R. Marsh" 2027-05-20\n  verify by analysis\n}',
  },
  least: {
    standsIn: ['size'],
    node: 'Least',
    rule: "'least' goal=Expression",
    form: 'least goal',
    documentation: 'In a size block: what is to be as small as possible. Not evaluated yet.',
    example: 'part Tray "Tray" { t = 3.2 mm within 2 mm .. 6 mm }\nsize TraySize {\n  least Tray.t\n  free Tray.t\n}',
  },
  free: {
    standsIn: ['size'],
    node: 'Free',
    rule: "'free' variables+=Path (',' variables+=Path)*",
    form: 'free Part.value, …',
    documentation: 'In a size block: the values that may vary within their ranges. Not evaluated yet.',
    example:
      'part Tray "Tray" { t = 3.2 mm within 2 mm .. 6 mm step 0.2 mm }\nsize TraySize {\n  least Tray.t\n  free Tray.t\n}',
  },
  study: {
    standsIn: ['configuration'],
    node: 'Study',
    rule: "{infer Study} 'study'",
    form: 'study',
    documentation: 'In a configuration: it is looked at on request only and does not count for the headline.',
    begins: 'study',
    complete: true,
    example: 'part Tray "Tray" { t = 3.2 mm }\nconfiguration Thin "Thinner tray" {\n  study\n  Tray.t = 2.8 mm\n}',
  },
  slot: {
    standsIn: ['part'],
    form: 'slot name = value',
    documentation: 'In a part: a place that each configuration fills differently.',
    example: 'part Radar "Radar" { mass = 8 kg }\npart Bus "Vehicle" {\n  slot payload = Radar\n}',
  },
  measured: {
    standsIn: ['evidence', 'article'],
    form: 'measured name = value',
    documentation:
      'In an article or in evidence: a measured value, held at its worst against the limit of the check that its name belongs to.',
    example:
      'part Wall "Wall" { t = 2 mm }\narticle SN-007 of Wall {\n  built = 2027-04-01\n  measured t = 1.96 mm ± 0.01 mm\n}',
  },
  from: {
    standsIn: ['results'],
    node: 'FromStatement',
    rule: "'from' targets+=Path (',' targets+=Path)*",
    form: 'from Entity, …',
    documentation: 'In results: what was given to the analysis.',
    example:
      'part Tray "Tray" { t = 3.2 mm }\nresults FE7 "Run 7" = file("fe/run7.csv") {\n  model = "7"\n  from Tray.t\n  vm as MPa "Von Mises"\n}',
  },
  column: {
    standsIn: ['results', 'table'],
    form: 'name as unit "Header" · name as type above "Header"',
    documentation:
      'In a table or results: a column of the file, with its unit or type and, where it differs, its header. It is written without a word of its own.',
    wordless: true,
    example: 'table Coupons = file("coupons.csv") {\n  strength as MPa "Strength"\n  direction as text "Direction"\n}',
  },
  override: {
    standsIn: ['configuration'],
    form: 'Part.value = value',
    documentation:
      'In a configuration: another value for one of the shared model. It is written without a word of its own.',
    wordless: true,
    example: 'part Tray "Tray" { t = 3.2 mm }\nconfiguration Thick "Thicker tray" { Tray.t = 3.6 mm }',
  },
} as const satisfies Readonly<Record<string, StatementRow>>;

export type StatementWord = keyof typeof STATEMENTS;
/** The statements that a kind of block takes. */
export type StatementIn<K extends BlockKind> = {
  [W in StatementWord]: K extends (typeof STATEMENTS)[W]['standsIn'][number] ? W : never;
}[StatementWord];
