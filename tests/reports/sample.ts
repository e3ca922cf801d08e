import type { CheckEntry, CheckReport, QuantityReport, RequirementReport } from '../../server/reports/check-report.js';

const quantity = (value: number, unit: string): QuantityReport => ({ value, unit, text: `${value} ${unit}`.trim() });

const check = (entry: Partial<CheckEntry>): CheckEntry => ({
  mode: null, configuration: 'Radar', margin: null, marginKind: 'strength', marginUnit: null, thin: false, passes: true, governing: null,
  applied: null, relation: '<=', allowable: null, allowableBasis: null, allowableSource: null, factors: [], reading: 'worst case',
  line: 1, formula: '', rowCount: 1, ...entry,
});

const requirement = (entry: Partial<RequirementReport>): RequirementReport => ({
  label: '', text: '', part: null, status: 'verified', thin: false, reasons: [], margin: null, marginKind: null, marginUnit: null, governing: null,
  imprint: '3f9c1b2a7d10', file: 'structure.gus', line: 1, statusByConfiguration: {}, checks: [], methods: [], parents: [], children: [],
  waiver: null, evidence: [], ...entry,
});

const range = (line: number, start: number, end: number) => ({ start: { line, character: start }, end: { line, character: end } });

const trayCheck = check({
  mode: 'ultimate', margin: -0.0298507, passes: false, governing: 'Liftoff +axial, 85 °C', applied: quantity(402, 'MPa'), allowable: quantity(390, 'MPa'),
  allowableBasis: 'B', allowableSource: 'coupon campaign 3', factors: ['FlightPrinted.ultimate 1.5', 'FlightPrinted.fitting 1.15'],
  reading: 'worst case by corners', line: 52, formula: 'stress(L) * FlightPrinted.ultimate <= material.ultimate.x(T)', rowCount: 24,
});

/** A small spacecraft in which every status, every kind of margin and every severity occurs. */
export const sample: CheckReport = {
  schema: 'gusset-check-report/1',
  tool: { name: 'gusset', version: '0.1.0' },
  project: { name: 'Cordgrass', title: 'Tide-flat survey microsatellite', revision: 'C' },
  asOf: '2027-04-20',
  configurations: ['Radar', 'RadarEol'],
  requirements: [
    requirement({
      label: 'STR-010', text: 'The battery tray shall carry every launch case without rupture.', part: 'Bus.BatteryTray', status: 'failing',
      reasons: ['The ultimate margin is -0.03 at Liftoff +axial, 85 °C: 402 MPa against 390 MPa.'],
      margin: -0.0298507, marginKind: 'strength', governing: 'Liftoff +axial, 85 °C', line: 51,
      statusByConfiguration: { Radar: 'unverified', RadarEol: 'failing' },
      checks: [
        { ...trayCheck, margin: 0.118, passes: true, allowable: quantity(449.4, 'MPa') },
        {
          ...trayCheck, configuration: 'RadarEol',
          rows: [
            { case: 'Liftoff +axial, 85 °C', margin: -0.0298507, marginKind: 'strength', applied: quantity(402, 'MPa'), allowable: quantity(390, 'MPa'), passes: false, note: null },
            { case: 'Liftoff -axial, 85 °C', margin: 3.04, marginKind: 'strength', applied: quantity(96.5, 'MPa'), allowable: quantity(390, 'MPa'), passes: true, note: null },
            { case: 'Cutoff +axial, 120 °C', margin: null, marginKind: null, applied: quantity(210, 'MPa'), allowable: null, passes: null, note: 'The table ends at 85 °C.' },
          ],
        },
        check({
          mode: 'yield', margin: 0.0449, thin: true, governing: 'Liftoff +axial, 40 °C', applied: quantity(335, 'MPa'), allowable: quantity(350.1, 'MPa'),
          allowableBasis: 'B', allowableSource: 'coupon campaign 3', factors: ['FlightPrinted.yield 1.25'], line: 54,
          formula: 'stress(L) * FlightPrinted.yield <= material.yield.x(T)', rowCount: 24,
        }),
      ],
      methods: [
        { method: 'analysis', article: null, level: null, milestone: 'PDR', closed: false, by: null, open: ['Liftoff +axial, 85 °C'] },
        { method: 'test', article: 'SN-QM', level: 'qualification', milestone: 'CDR', closed: true, by: 'TR-114', open: [] },
      ],
      parents: ['SYS-004'], evidence: ['TR-114'],
    }),
    requirement({
      label: 'STR-020', text: 'The first natural frequency of the stowed vehicle shall be at least 90 Hz along the launch axis and 45 Hz across it.', part: 'Bus',
      status: 'verified', margin: 0.02444, marginKind: 'strength', thin: true, line: 71, statusByConfiguration: { Radar: 'verified', RadarEol: 'verified' },
      checks: [check({ mode: 'frequency', margin: 0.02444, thin: true, applied: quantity(92.2, 'Hz'), relation: '>=', allowable: quantity(90, 'Hz'), allowableSource: 'GUIDE table 3-1', line: 72, formula: 'first_frequency >= 90 Hz' })],
      methods: [{ method: 'test', article: 'SN-QM', level: null, milestone: 'CDR', closed: true, by: 'TR-120', open: [] }],
      evidence: ['TR-120'],
    }),
    requirement({
      label: 'STR-031', text: 'The antenna bracket shall not yield in transport.', part: 'Bus.AntennaBracket', status: 'waived', file: 'brackets.gus',
      reasons: ['The margin of -0.04 is within what WVR-07 accepts until 2027-09-30.'], waiver: 'WVR-07',
      margin: -0.04, marginKind: 'strength', governing: 'Transport, lateral', line: 12, statusByConfiguration: { Radar: 'waived', RadarEol: 'waived' },
      checks: [check({
        mode: 'yield', margin: -0.04, passes: false, governing: 'Transport, lateral', applied: quantity(250, 'MPa'), allowable: quantity(240, 'MPa'),
        allowableBasis: 'A', allowableSource: 'supplier sheet 12', factors: ['FlightMetal.yield 1.1'], line: 13, formula: 'stress * FlightMetal.yield <= material.yield',
      })],
    }),
    requirement({
      label: 'JNT-SEP-J12', text: 'The joint J12 shall not separate at limit load.', part: 'Bus.J12', status: 'unverified', file: 'joints.gus', line: 8,
      reasons: ['The friction coefficient is to be confirmed.', 'Inspection has no evidence yet.'], margin: 0.31, marginKind: 'strength', governing: 'Ascent +lateral',
      checks: [check({ mode: 'separation', margin: 0.31, governing: 'Ascent +lateral', relation: 'reserve', applied: quantity(1.31, ''), allowable: quantity(1, ''), factors: ['FlightMetal.separation 1.2'], line: 9, formula: 'reserve(k: …) >= 1' })],
      methods: [{ method: 'inspection', article: null, level: null, milestone: null, closed: false, by: null, open: [] }],
      statusByConfiguration: { Radar: 'unverified', RadarEol: 'unverified' },
    }),
    requirement({
      label: 'THM-002', text: 'The panel adhesive shall stay 15 K below its glass transition.', part: 'Bus.Panel', status: 'lapsed', line: 90,
      reasons: ['The evidence TR-98 was taken before Panel.t moved from 1.2 mm to 1.0 mm.'], margin: 6.237, marginKind: 'distance', marginUnit: 'K',
      governing: 'Orbit hot', evidence: ['TR-98'], statusByConfiguration: { Radar: 'lapsed', RadarEol: 'lapsed' },
      checks: [check({ mode: null, margin: 6.237, marginKind: 'distance', marginUnit: 'K', governing: 'Orbit hot', applied: quantity(85, 'degC'), allowable: quantity(91.2, 'degC'), allowableSource: 'data sheet 4', line: 91, formula: 'hot <= Tg - 15 K' })],
    }),
    requirement({
      label: 'CLR-001', text: 'The clearance to the fairing shall be at least 25 mm.', part: null, status: 'verified', line: 101, margin: 3.2, marginKind: 'distance', marginUnit: 'mm',
      checks: [check({ margin: 3.2, marginKind: 'distance', marginUnit: 'mm', relation: 'range', applied: quantity(28.2, 'mm'), allowable: { value: null, unit: 'mm', text: '25 mm .. 40 mm' }, line: 102, formula: '25 mm <= clearance <= 40 mm' })],
    }),
    requirement({
      label: 'FAT-001', text: 'The hinge shall survive four lives.', part: 'Bus.Hinge', status: 'verified', line: 110, margin: 1.5, marginKind: 'life',
      checks: [check({ mode: 'fatigue', margin: 1.5, marginKind: 'life', applied: quantity(4, ''), allowable: quantity(10, ''), line: 111, formula: '4 * damage <= 1' })],
    }),
    requirement({
      label: 'MEC-001', text: 'The release shall succeed with a probability of at least 0.999.', part: 'Bus.Release', status: 'verified', line: 115, margin: 0.0004, marginKind: 'probability',
      checks: [check({ margin: 0.0004, marginKind: 'probability', relation: '>=', applied: quantity(0.9994, ''), allowable: quantity(0.999, ''), line: 116, formula: 'probability(…) >= 0.999' })],
    }),
    requirement({
      label: 'MAT-001', text: 'Every exposed material shall pass outgassing.', part: null, status: 'verified', line: 120, marginKind: 'boolean',
      checks: [check({ marginKind: 'boolean', relation: 'boolean', line: 121, formula: 'all(for m in exposed: m.tml <= 1 %)' })],
    }),
    requirement({
      label: 'STR-050', text: 'The shear panel shall not buckle.', part: 'Bus.Panel', status: 'verified', line: 130, marginKind: 'unbounded',
      checks: [check({ mode: 'buckling', marginKind: 'unbounded', governing: 'Cutoff', applied: quantity(0, 'MPa'), allowable: quantity(31, 'MPa'), line: 131, formula: 'compression <= critical' })],
    }),
    requirement({
      label: 'SYS-001', text: 'The vehicle shall weigh no more than 46 kg.', part: null, status: 'undetermined', line: 140,
      reasons: ['Harness.mass is TBD (owner mass lead, due CDR).'], children: ['STR-060'],
      checks: [check({ margin: null, marginKind: null, passes: null, relation: '<=', allowable: quantity(46, 'kg'), line: 141, formula: 'Bus.predicted_mass <= limit' })],
    }),
  ],
  values: [
    { name: 'Bus.BatteryTray.t', value: 3.2, unit: 'mm', low: 3.1, high: 3.3, text: '3.2 mm', configuration: 'Radar' },
    { name: 'Bus.Harness.mass', value: null, unit: 'kg', low: null, high: null, text: 'TBD kg', configuration: 'Radar' },
  ],
  mass: [
    { part: 'Bus', title: 'Primary structure', depth: 0, count: 1, basic: 36.412, predicted: 41.204, maturity: null, growth: 0.1316, configuration: 'Radar' },
    { part: 'Bus.BatteryTray', title: 'Battery tray', depth: 1, count: 4, basic: 0.07456, predicted: 0.082016, maturity: 'calculated', growth: 0.1, configuration: 'Radar' },
    { part: 'Bus.Panel', title: 'Side panel', depth: 1, count: 6, basic: 7.8, predicted: 7.8, maturity: 'measured', growth: 0, configuration: 'Radar' },
    { part: 'Bus.Panel.Insert', title: null, depth: 2, count: 96, basic: 0.2112, predicted: 0.2492, maturity: 'estimated', growth: 0.18, configuration: 'Radar' },
    { part: 'Bus.Harness', title: 'Harness and connectors', depth: 1, count: 1, basic: null, predicted: null, maturity: null, growth: null, configuration: 'Radar' },
  ],
  diagnostics: [
    {
      code: 'failing-margin', severity: 'error', file: 'structure.gus', range: range(51, 4, 9),
      message: 'STR-010 fails in ultimate: margin -0.03 at Liftoff +axial, 85 °C (402 MPa against 390 MPa).\nA thickness of 3.4 mm would carry it.',
      related: [{ message: 'The allowable comes from here.', file: 'materials/cf print.gus', range: range(6, 2, 10) }],
    },
    { code: 'thin-margin', severity: 'warning', message: 'STR-020 is thin: +0.02, below 10 %.', file: 'structure.gus', range: range(70, 2, 21), related: [] },
    { code: 'to-be-confirmed', severity: 'information', message: 'The friction coefficient is to be confirmed: 100 % of 3 joints, <all>.', file: 'joints.gus', range: range(3, 0, 12), related: [] },
    { code: 'unused-name', severity: 'hint', message: 'Nothing uses "spare".', file: 'structure.gus', range: { start: { line: 10, character: 2 }, end: { line: 11, character: 4 } }, related: [] },
  ],
  totals: {
    requirements: 11, byStatus: { failing: 1, undetermined: 1, waived: 1, lapsed: 1, unverified: 1, verified: 6 }, thin: 1, checks: 13, rows: 83,
    diagnostics: { error: 1, warning: 1, information: 1, hint: 1 }, massPredicted: 41.204, massLimit: 46,
  },
};

/** A folder without a project block, without anything in it. */
export const empty: CheckReport = {
  schema: 'gusset-check-report/1', tool: { name: 'gusset', version: '0.1.0' }, project: null, asOf: '2027-04-20', configurations: [], requirements: [],
  values: [], mass: [], diagnostics: [],
  totals: {
    requirements: 0, byStatus: { failing: 0, undetermined: 0, waived: 0, lapsed: 0, unverified: 0, verified: 0 }, thin: 0, checks: 0, rows: 0,
    diagnostics: { error: 0, warning: 0, information: 0, hint: 0 }, massPredicted: null, massLimit: null,
  },
};
