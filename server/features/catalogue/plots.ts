import { plotMessage, spectraMessage, type PictureColors, type Plot, type PlotSubject } from '../../protocol/sheet.js';
import type { TableValue, Value } from '../../engine/value.js';
import type { Project } from '../../project/project.js';
import { massLimit, massReports } from '../../reports/build-report.js';
import { massPicture } from '../../reports/plots/mass.js';
import { spectrumPicture } from '../../reports/plots/spectrum.js';
import { sweepPicture } from '../../reports/plots/sweep.js';
import { INKS } from '../../reports/plots/svg.js';
import { parseDimension } from '../../units/index.js';
import { feature, type Feature } from '../feature.js';
import { checkOfRow } from '../margin-sheet.js';

/** Pictures of sweeps, spectra and masses. */
const features: readonly Feature[] = [
  feature(plotMessage.method, {}, (context, { subject, colors }: { readonly subject: PlotSubject; readonly colors: PictureColors }) => plotOf(context.project, subject, colors)),
  feature(spectraMessage.method, {}, context => [...spectraOf(context.project).keys()]),
];
export default features;

function plotOf(project: Project, subject: PlotSubject, colors: PictureColors): Plot | null {
  const ink = INKS[colors];
  switch (subject.kind) {
    case 'mass': return massPicture(massReports(project), massLimit(project), ink);
    case 'spectrum': { const table = spectraOf(project).get(subject.load); return table ? spectrumPicture(subject.load, table, ink) : null; }
    case 'sweep': {
      const found = checkOfRow(project, subject.row);
      return found && sweepPicture([found.entity.label, found.check.item.mode, found.view.name].filter(Boolean).join(' · '), found.view, found.check, ink);
    }
  }
}

const FREQUENCY = parseDimension('frequency')!;

/** Tables over frequency that loads hold. */
function spectraOf(project: Project): Map<string, TableValue> {
  const { evaluation } = project.view;
  const found = new Map<string, TableValue>();
  for (const load of project.namespace.ofKind('load')) {
    for (const name of load.values.keys()) {
      const value: Value | undefined = evaluation.valueOf(load, name);
      if (value?.kind === 'table' && value.inputs.length === 1 && value.inputs[0]!.dimension === FREQUENCY) found.set(name === 'psd' ? load.path : `${load.path}.${name}`, value);
    }
  }
  return found;
}
