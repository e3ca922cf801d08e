import { plotMessage, spectraMessage, type PictureColors, type Plot, type PlotSubject } from '../../protocol/sheet.js';
import type { Project } from '../../project/project.js';
import { massLimit, massReports } from '../../reports/mass-report.js';
import { massPicture } from '../../reports/plots/mass.js';
import { spectrumPicture } from '../../reports/plots/spectrum.js';
import { sweepPicture } from '../../reports/plots/sweep.js';
import { INKS } from '../../reports/plots/svg.js';
import { feature, type Feature } from '../feature.js';
import { checkOfRow } from '../margin-sheet.js';
import { spectraOf } from '../spectra.js';

/** Pictures of sweeps, spectra and masses. */
const features: readonly Feature[] = [
  feature(
    plotMessage.method,
    {},
    (context, { subject, colors }: { readonly subject: PlotSubject; readonly colors: PictureColors }) =>
      plotOf(context.project, subject, colors),
  ),
  feature(spectraMessage.method, {}, context => [...spectraOf(context.project).keys()]),
];
export default features;

function plotOf(project: Project, subject: PlotSubject, colors: PictureColors): Plot | null {
  const ink = INKS[colors];
  switch (subject.kind) {
    case 'mass':
      return massPicture(massReports(project), massLimit(project), ink);
    case 'spectrum': {
      const table = spectraOf(project).get(subject.load);
      return table ? spectrumPicture(subject.load, table, ink) : null;
    }
    case 'sweep': {
      const found = checkOfRow(project, subject.row);
      return (
        found &&
        sweepPicture(
          [found.entity.label, found.check.item.mode, found.view.name].filter(Boolean).join(' · '),
          found.view,
          found.check,
          ink,
        )
      );
    }
  }
}
