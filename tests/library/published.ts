/**
 * Published or independently recalculated values; sources stand beside the formulas. Where a formula was recalled, so
 * was its table.
 */
interface PublishedValue {
  /** Of the case; several rows share one. */
  readonly id: string;
  readonly expression: string;
  readonly expected: number;
  /** `1` for a pure number. */
  readonly unit: string;
  readonly tolerance: number;
}

const row = (id: string, expression: string, expected: number, unit: string, tolerance: number): PublishedValue => ({
  id,
  expression,
  expected,
  unit,
  tolerance,
});

const EI = '71.7 GPa, 20 mm * (10 mm)^3 / 12';
const ASD_QUALIFICATION =
  '[20 Hz -> 0.026 g0^2/Hz, 50 Hz -> 0.16 g0^2/Hz, 800 Hz -> 0.16 g0^2/Hz, 2000 Hz -> 0.026 g0^2/Hz] loglog';
const ASD_ACCEPTANCE =
  '[20 Hz -> 0.013 g0^2/Hz, 50 Hz -> 0.08 g0^2/Hz, 800 Hz -> 0.08 g0^2/Hz, 2000 Hz -> 0.013 g0^2/Hz] loglog';
const ASD_WORKMANSHIP =
  '[20 Hz -> 0.01 g0^2/Hz, 80 Hz -> 0.04 g0^2/Hz, 500 Hz -> 0.04 g0^2/Hz, 2000 Hz -> 0.01 g0^2/Hz] loglog';

/**
 * Stress areas of ISO 898-1 as printed there, with the pitch of the coarse thread and half a unit of the last digit.
 */
const THREADS: readonly (readonly [number, number, number, number])[] = [
  [2, 0.4, 2.07, 0.005],
  [2.5, 0.45, 3.39, 0.005],
  [3, 0.5, 5.03, 0.005],
  [4, 0.7, 8.78, 0.005],
  [5, 0.8, 14.2, 0.05],
  [6, 1, 20.1, 0.05],
  [8, 1.25, 36.6, 0.05],
  [10, 1.5, 58, 0.05],
  [12, 1.75, 84.3, 0.05],
  [14, 2, 115, 0.5],
  [16, 2, 157, 0.5],
  [20, 2.5, 245, 0.5],
];

export const published: readonly PublishedValue[] = [
  row('S00', 'rectangle_section(20 mm, 10 mm).Z', 333.33333, 'mm^3', 1e-4),
  row('S01', `cantilever_tip_load_deflection(100 N, 0.5 m, ${EI})`, 34.8675, 'mm', 3.5e-4),
  row('S05', `supported_line_load_deflection(200 N/m, 0.5 m, ${EI})`, 1.36201, 'mm', 1.4e-5),
  row('S08', `fixed_line_load_deflection(200 N/m, 0.5 m, ${EI})`, 0.272402, 'mm', 3e-6),
  row('S16', 'tube_section(50 mm, 46 mm).area', 301.593, 'mm^2', 0.001),
  row('S16', 'tube_section(50 mm, 46 mm).J', 174019, 'mm^4', 0.5),
  row('S16', 'sqrt(tube_section(50 mm, 46 mm).I / tube_section(50 mm, 46 mm).area)', 16.9853, 'mm', 1e-4),
  row('S17', 'i_section(40 mm, 60 mm, 4 mm, 3 mm).area', 476, 'mm^2', 1e-9),
  ...[
    [1, 0.141],
    [1.5, 0.196],
    [2, 0.229],
    [3, 0.263],
    [10, 0.312],
  ].map(([ratio, beta]) =>
    row('S25', `rectangle_section(10 mm, ${ratio} * 10 mm).J / (${ratio} * (10 mm)^4)`, beta!, '1', 6e-4),
  ),
  row('S27', 'principal_stresses(80 MPa, -40 MPa, 30 MPa).s_2', -47.082, 'MPa', 0.001),
  row('S27', 'principal_stresses(80 MPa, -40 MPa, 30 MPa).tau_max', 67.082, 'MPa', 0.001),
  row('S29', 'equivalent_stress(120 MPa, 0 MPa, 50 MPa)', 147.9865, 'MPa', 0.001),
  row(
    'S41',
    'equivalent_stress(cylinder_hoop_stress(2 MPa, 100 mm, 2 mm), cylinder_axial_stress(2 MPa, 100 mm, 2 mm), 0 MPa)',
    86.60254,
    'MPa',
    1e-4,
  ),
  row('B01', 'column_buckling_load(71.7 GPa, 87009.5 mm^4, 1 m)', 61572.3, 'N', 0.6),
  row('B01', 'column_buckling_load(71.7 GPa, 87009.5 mm^4, 1 m, 0.5)', 246289, 'N', 2.5),
  row('B03', 'short_column_stress(400 MPa, 71.7 GPa, pi * sqrt(2 * 71.7 GPa / (400 MPa)))', 200, 'MPa', 1e-6),
  row('B05', 'plate_compression_coefficient(1 m, 1 m)', 4, '1', 1e-6),
  row('B05', 'plate_compression_coefficient(sqrt(2) * 1 m, 1 m)', 4.5, '1', 1e-6),
  row('B05', 'plate_compression_coefficient(2 m, 1 m)', 4, '1', 1e-6),
  row('B07', 'plate_shear_coefficient(1 m, 1 m)', 9.34, '1', 1e-9),
  row('B09', 'cylinder_knockdown(100 mm, 1 mm)', 0.581277, '1', 2e-5),
  row('B09', 'cylinder_knockdown(1000 mm, 1 mm)', 0.22385, '1', 1e-4),
  row('D05', `cantilever_tip_mass_frequency(${EI}, 0.5 m, 0.5 kg, 0.27 kg)`, 11.353, 'Hz', 1.2e-3),
  row('D02', 'sag_frequency(0.1 mm)', 49.8403, 'Hz', 0.001),
  row('D13', 'amplification(0.02)', 25, '1', 1e-9),
  row('D14', 'transmissibility(sqrt(2) * 100 Hz, 100 Hz, 0)', 1, '1', 1e-9),
  row('L16', 'transmissibility(100 Hz, 100 Hz, 0.025)', 20.02498, '1', 1e-4),
  row('L03', 'miles_rms(150 Hz, 10, 0.16 g0^2/Hz)', 19.416255, 'g0', 1e-5),
  row('L04', 'miles_rms(200 Hz, 20, 0.01 g0^2/Hz) / (2 * pi * 200 Hz)^2', 4.922553e-5, 'm', 1e-10),
  row('L05', `overall_rms(${ASD_QUALIFICATION})`, 14.1356, 'g0', 0.001),
  row('L06', `overall_rms(${ASD_ACCEPTANCE})`, 9.99539, 'g0', 1e-4),
  row('L10', `overall_rms(${ASD_WORKMANSHIP})`, 6.78424, 'g0', 1e-4),
  row('L12', 'overall_rms([500 Hz -> 0.04 g0^2/Hz, 2000 Hz -> 0.01 g0^2/Hz] loglog)^2', 27.72589, 'g0^2', 1e-4),
  row('L13', 'raised_level(12 g0, -6)', 6.0142, 'g0', 0.001),
  row('L15', 'sweep_time(5 Hz, 100 Hz, 2 1/min)', 2.160964, 'min', 1e-6),
  row('W07', 'cylinder_inertia(5 kg, 0.1 m, 0.3 m).axial', 0.025, 'kg*m^2', 1e-12),
  row('W07', 'box_inertia(4 kg, 0.1 m, 0.2 m, 0.3 m).z', 0.0166667, 'kg*m^2', 1e-6),
  row('M16', 'quadratic_reserve(0.6, 0.5) - 1', 0.280368799, '1', 1e-8),
  row('M17', 'plate_buckling_reserve(0.4, 0.5) - 1', 0.354065922, '1', 1e-8),
  row('M18', 'linear_reserve([0.35, 0.4]) - 1', 0.333333333, '1', 1e-8),
  row('F14', 'threaded_bolt_reserve(0.6, 0.5) - 1', 0.1567, '1', 1e-4),
  row('F15', 'power_reserve(0.5, 3, 0.6, 2) - 1', 0.3717, '1', 1e-4),
  row(
    'F19',
    'equivalent_stress(axial_stress(20 kN, 36.6 mm^2), 0 MPa, round_torsion_stress(12 N*m, sqrt(4 * 36.6 mm^2 / pi)))',
    639.79,
    'MPa',
    0.1,
  ),
  ...THREADS.flatMap(([d, pitch, area, tolerance]) => [
    row('F01', `thread_stress_area(${d} mm, ${pitch} mm)`, area, 'mm^2', tolerance),
    row('F01', `coarse_thread_area("M${d}")`, area, 'mm^2', 1e-9),
  ]),
  row('H04', 'bilayer_curvature(100 K, 10e-6 1/K, 70 GPa, 1 mm, 20e-6 1/K, 70 GPa, 1 mm)', 0.75, '1/m', 1e-9),
];
