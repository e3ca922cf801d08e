/** A text by itself, or texts and data by path. */
export type State = string | Readonly<Record<string, string>>;

/** States of a project, one after another, after which it once showed something else than one that was opened so. */
export const EDITS: Readonly<Record<string, readonly State[]>> = {
  'positions of items': [
    'part P "P" { part B "B" { count = 2 at [(1, 0, 0), (-1, 0, 0)] mm mass = 1 kg maturity measured } }\nlet c = P.centre_of_mass\n',
    'part P "P" { part B "B" { count = 2 at [(1, 0, 0), (-1, 0, 7)] mm mass = 1 kg maturity measured } }\nlet c = P.centre_of_mass\n',
  ],
  'a field of a load': [
    'load L "L" { axial = 2 g0 }\nlet c = corners(L)\nlet t = L.temperature\n',
    'load L "L" { axial = 2 g0   own = 1 degC .. 4 degC }\nlet c = corners(L)\nlet t = L.temperature\n',
  ],
  'a block of another kind before one of its name': [
    'requirement R-1 "It shall." { verify by test }\nevidence T-1 for R-1 { method = test }\n',
    'requirement T-1 "It shall." { verify by test }\nevidence T-1 for T-1 { method = test }\n',
  ],
  'a block of another kind in the place of one': [
    'requirement R-1 "It shall." {\n  check 1 > 2\n}\n',
    'passing R-1 "It shall." {\n  check 1 > 2\n}\n',
  ],
  'the first of two values moved': ['let a = 1\nlet a = 2\nlet b = a\n', 'let a = 2\nlet a = 1\nlet b = a\n'],
  'a configuration moved': [
    'let a = 1 mm\nconfiguration A "A" { a = 2 mm }\nconfiguration B "B" { a = 3 mm }\n',
    'let a = 1 mm\nconfiguration B "B" { a = 3 mm }\nconfiguration A "A" { a = 2 mm }\n',
  ],
  'a name like one that is missing': ['let wide = 1\nlet a = widt\n', 'let width = 1\nlet a = widt\n'],
  'powers of two loads': [
    'load L "L" { axial = 6 g0   lateral = 5 g0 }\nlet a = 6 g0\nrequirement R-1 "It shall." { check ultimate for L in [L]: (L.axial / (60 m/s^2))^2 + (L.lateral / (90 m/s^2))^1.2 <= 1 }\n',
    'load L "L" { axial = 8400 g0   lateral = 5 g0 }\nlet a = 6 g0\nrequirement R-1 "It shall." { check ultimate for L in [L]: (L.axial / (60 m/s^2))^2 + (L.lateral / (90 m/s^2))^1.2 <= 1 }\n',
  ],
  'what a kind is given': [
    'kind K "K" {\n  given d: length, t: torque\n  let p = t / d\n}\npart P "P" is K { d = 1 mm   t = 2 N*m }\n',
    'kind K "K" {\n  given d: length\n  let p = t / d\n}\npart P "P" is K { d = 1 mm   t = 2 N*m }\n',
  ],
  'the level of a load': [
    'load L "L" { axial = 9 g0   level = qualification }\nfactors F "F" { level = limit   tested = yes   ultimate = 1.4 }\nrequirement R-1 "It shall." { check ultimate for L in [L]: F.ultimate * L.axial <= 30 g0 }\n',
    'load L "L" { axial = 9 g0   level = limit }\nfactors F "F" { level = limit   tested = no   ultimate = 1.4 }\nrequirement R-1 "It shall." { check ultimate for L in [L]: F.ultimate * L.axial <= 30 g0 }\n',
  ],
  'a file under another name': [
    { 'a.gus': 'let mass = TBD kg\nrequirement R-1 "It shall." { check mass <= 3 kg   verify by analysis }\n' },
    { 'b.gus': 'let mass = TBD kg\nrequirement R-1 "It shall." { check mass <= 3 kg   verify by analysis }\n' },
  ],
  'names that are equally near a missing one': [
    'let m = 1\nlet x = 1\nlet a = T\n',
    'let x = 1\nlet m = 1\nlet a = T\n',
  ],
  'the part that a part was put into': [
    'part Bus "Bus" { }\npart Wheel "Wheel" in Bus { stiffness = 3 N/mm tbc   part Hub "Hub" { mass = TBD kg } }\n',
    'part Wheel "Wheel" in Bus { stiffness = 3 N/mm tbc   part Hub "Hub" { mass = TBD kg } }\n',
  ],
  'the unit of a column': [
    { 'a.gus': 'table T = file("t.csv") { x as mm }\nlet a = T.x[1]\n', 't.csv': 'x\n1\n' },
    { 'a.gus': 'table T = file("t.csv") { x as km }\nlet a = T.x[1]\n', 't.csv': 'x\n1\n' },
    { 'a.gus': 'table T = file("t.csv") { x as k }\nlet a = T.x[1]\n', 't.csv': 'x\n1\n' },
    { 'a.gus': 'table T = file("./t.csv") { skip 0   x as k }\nlet a = T.x[1]\n', 't.csv': 'x\n1\n' },
  ],
  'one of several of a label': [
    'part A "A" { requirement R-1 "It shall." { } }\npart B "B" { requirement R-1 "It shall." { } }\nlet a = #R-1\n',
    'part A "A" { }\npart B "B" { requirement R-1 "It shall." { } }\nlet a = #R-1\n',
  ],
  'what a requirement stands below': [
    'requirement TOP "It shall." { verify by test }\nrequirement R-1 "It shall." { parent TOP   verify by test }\n',
    'requirement TOP "It shall." { verify by test }\nrequirement R-1 "It shall." { verify by test }\n',
  ],
  'the order of requirements below another': [
    'requirement TOP "It shall." { }\nrequirement R-1 "It shall." { parent TOP }\nrequirement R-2 "It shall." { parent TOP }\n',
    'requirement TOP "It shall." { }\nrequirement R-2 "It shall." { parent TOP }\nrequirement R-1 "It shall." { parent TOP }\n',
  ],
  'requirements below each other': [
    'requirement R-1 "It shall." { parent R-2   verify by test }\nrequirement R-2 "It shall." { parent R-1   verify by test }\n',
    'requirement R-1 "It shall." { verify by test }\nrequirement R-2 "It shall." { verify by test }\n',
  ],
  'a requirement of a kind that is of another kind of block': [
    'kind K "K" { requirement R-1 "It shall." { }   requirement R-2 "It shall." { parent R-1 } }\npart P "P" is K { }\n',
    'kind K "K" { requirement R-1 "It shall." { }   stress R-2 "It shall." { parent R-1 } }\npart P "P" is K { }\n',
  ],
  'the only part of a kind inside another kind': [
    'part J "J" is Joint { }\nkind Joint "Joint" {\n  part Ear "ear" is Lug { t = 1 mm }\n}\nkind Lug "Lug" { given t: length   requirement R-1 "It shall." { check t >= 2 mm } }\n',
    'part J "J" is Joint { }\nkind Joint "Joint" {\n}\nkind Lug "Lug" { given t: length   requirement R-1 "It shall." { check t >= 2 mm } }\n',
  ],
  'a part of one kind that moves into another that it holds': [
    'part J "J" is Joint { }\nkind Joint "Joint" { part Ear "ear" is Lug { } }\nkind Lug "Lug" { requirement R-1 "It shall." { } }\npart K "K" is Joint { }\n',
    'kind Joint "Joint" { part Ear "ear" is Lug { } }\nkind Lug "Lug" {\npart J "J" is Joint { }   requirement R-1 "It shall." { } }\npart K "K" is Joint { }\n',
    'kind Joint "Joint" { part Ear "ear" is Lug { } }\nkind Lug "Lug" { part J "J" in K { }   requirement R-1 "It shall." { } }\npart K "K" is Joint { }\n',
  ],
  'a part inside a kind that is of a kind no longer': [
    'part J "J" is Joint { }\nkind Joint "Joint" { part Ear "ear" is Lug { } }\nkind Lug "Lug" { requirement R-1 "It shall." { } }\n',
    'part J "J" is Joint { }\nkind Joint "Joint" { part Ear "ear" { } }\nkind Lug "Lug" { requirement R-1 "It shall." { } }\n',
  ],
  'the order of parts whose requirement is above another': [
    'kind K "K" { requirement R-1 "It shall." { } }\npart A "A" is K { }\npart B "B" is K { }\nrequirement R-2 "It shall." { parent R-1 }\n',
    'kind K "K" { requirement R-1 "It shall." { } }\npart B "B" is K { }\npart A "A" is K { }\nrequirement R-2 "It shall." { parent R-1 }\n',
  ],
  'the first of two parts of a name': [
    'kind K "K" { }\npart A "A" is K { }\npart B "B" is K { }\npart A "A" is K { }\nlet m = max(for P in parts(K): P.x)\n',
    'kind K "K" { }\npart B "B" is K { }\npart A "A" is K { }\nlet m = max(for P in parts(K): P.x)\n',
  ],
  'where a block stands that has no rows': [
    'load L "L" { }\nresults R "R" = held("r.csv") {\n  case as load "C"\n  x as MPa "X"\n}\nrequirement R-1 "It shall." { check R.x(case = L) <= 3 MPa }\n',
    'load L "L" { }\n\nresults R "R" = held("r.csv") {\n\n  case as load "C"\n  x as MPa "X"\n}\nrequirement R-1 "It shall." { check R.x(case = L) <= 3 MPa }\n',
  ],
  'a kind that goes inside another': [
    'part A "A" is Joint { }\nkind Joint "J" { given d: length   let p = 2 * d }\npart B "B" is Outer { }\nkind Outer "O" { }\n',
    'part A "A" is Joint { }\npart B "B" is Outer { }\nkind Outer "O" { kind Joint "J" { given d: length   let p = 2 * d } }\n',
    'part A "A" is Joint { }\nlet a = 1\npart C "C" is Joint { }\npart B "B" is Outer { }\nkind Outer "O" { kind Joint "J" { given d: length   let p = 2 * d } }\n',
  ],
  'the rows of a table of growth': [
    'growth G { estimated = 50 %   calculated = 30 % }\npart P "P" { growth = G   mass = 1 kg maturity measured }\nlet a = P.predicted_mass\n',
    'growth G { estimated = 50 % }\npart P "P" { growth = G   mass = 1 kg maturity measured }\nlet a = P.predicted_mass\n',
  ],
  'another block than a part that says it is of a kind': [
    'kind K "K" { requirement R-1 "It shall." { } }\n',
    'kind K "K" { requirement R-1 "It shall." { } }\npart P "P" is K { }\narticle Q "Q" is K { }\n',
  ],
  'a mass without its maturity in another file': [
    { 'a.gus': 'growth G { measured = 0 % }\npart P "P" { growth = G   mass = 5 kg }\nlet a = P.predicted_mass\n' },
    { 'b.gus': 'growth G { measured = 0 % }\npart P "P" { growth = G   mass = 5 kg }\nlet a = P.predicted_mass\n' },
  ],
  'a block whose attribute is undetermined, further down': [
    'growth G { measured = 0 % }\npart P "P" { growth = G   mass = 5 kg maturity calculated }\nlet a = P.predicted_mass\n',
    'growth G { measured = 0 % }\n\npart P "of another title" { growth = G   mass = 5 kg maturity calculated }\nlet a = P.predicted_mass\n',
  ],
  'why a value is undetermined, further down': [
    'let psd = [20 Hz -> 1, 80 Hz -> 4] loglog\nlet outside = psd(100 Hz)\nrequirement R-1 "It shall." { check outside <= 1 }\n',
    'let outside = psd(100 Hz)   let psd = [20 Hz -> 1, 80 Hz -> 4] loglog\nrequirement R-1 "It shall." { check outside <= 1 }\n',
  ],
  'the class of a set of factors that is not used': [
    'load L "L" { axial = 7 g0 }\nfactors F "F" { class = metal   ultimate = 1.4 }\nmaterial M "M" { class = metal   ultimate = 469 MPa }\npart P "P" { material = M   requirement R-1 "It shall." { check ultimate for L in [L]: 4 kg * L.axial / (20 mm^2) <= material.ultimate } }\n',
    'load L "L" { axial = 7 g0 }\nfactors F "F" { class = printed   ultimate = 1.4 }\nmaterial M "M" { class = metal   ultimate = 469 MPa }\npart P "P" { material = M   requirement R-1 "It shall." { check ultimate for L in [L]: 4 kg * L.axial / (20 mm^2) <= material.ultimate } }\n',
  ],
  'what reads a value that only a configuration has': [
    'part Bus "Bus" { }\npart Head "Head" { f = 78 Hz }\nconfiguration A "A" { Bus.payload = Head }\ncheck frequency: Bus.payload.f >= 70 Hz\n',
    'part Bus "Bus" { }\npart Head "Head" { f = 78 Hz }\nconfiguration A "A" { Bus.payload = Head }\n',
  ],
};
