/** A check's sweep: its margin over temperature (or whatever number it sweeps) and case, or case by case. */
import { line } from 'd3-shape';
import { caseName, type CheckResult, type RowResult } from '../../engine/margin.js';
import type { CheckRow } from '../../engine/elaboration/check.js';
import type { CasePart } from '../../engine/values/value.js';
import type { ConfigurationView } from '../../findings/index.js';
import { dimensionName, formatMargin, formatNumber, fromSI, readableUnit } from '../../units/index.js';
import { distanceSymbol, printSides } from '../../engine/explain.js';
import { withDegrees } from '../../units/index.js';
import { horizontalAxis, linear, verticalAxis, type Frame, type Scale } from './axes.js';
import { csvOf, element, PANEL, picture, text, tooltip, type Ink, type Picture, type Room } from './svg.js';

type Number = Extract<CasePart, { kind: 'value' }>;
interface Point {
  readonly x: number;
  readonly margin: number;
  readonly name: string;
  readonly row: RowResult;
}
interface Series {
  readonly name: string;
  readonly points: readonly Point[];
}

export function sweepPicture(
  title: string,
  view: ConfigurationView,
  check: CheckResult,
  ink: Ink,
  room: Room = PANEL,
): Picture {
  const { evaluation } = view;
  const everyRow = check.rows;
  const rows = everyRow.filter(row => Number.isFinite(row.margin));
  const unit = unitOf(check);
  const named = rows.map(row => ({ row, name: caseName(evaluation, row.row), margin: row.margin / unit.factor }));
  const csv = csvOf([
    ['case', `margin${unit.symbol ? ` [${unit.symbol}]` : ''}`, 'passes'],
    ...everyRow.map(row => [
      caseName(evaluation, row.row),
      row.margin / unit.factor,
      row.passes === null ? 'undetermined' : row.passes ? 'yes' : 'no',
    ]),
  ]);
  const series = seriesOf(view, rows, unit.factor);
  const label = unit.symbol ? `margin, ${unit.symbol}` : 'margin';
  const svg =
    rows.length === 0
      ? nothing(title, ink, room)
      : series
        ? lines(title, series.all, series.axis, label, ink, room)
        : bars(title, named, label, ink, room);
  return { title, svg, csv };
}

function unitOf(check: CheckResult): { readonly factor: number; readonly symbol: string } {
  const { governing } = check;
  const unit = governing?.kind === 'distance' ? printSides(governing).unit : null;
  return unit ? { factor: unit.factor, symbol: distanceSymbol(unit) } : { factor: 1, symbol: '' };
}

/** Rows along the first number that is swept, one series for each combination of the rest; null where no number is. */
function seriesOf(
  view: ConfigurationView,
  rows: readonly RowResult[],
  factor: number,
): { readonly all: Series[]; readonly axis: string } | null {
  const { evaluation } = view;
  const numberIn = (row: CheckRow): Number | undefined =>
    row.names[0]?.find((part): part is Number => part.kind === 'value');
  const first = rows.map(row => numberIn(row.row)).find(part => part !== undefined);
  if (!first || rows.some(row => !numberIn(row.row))) return null;
  const numberOf = (part: Number): number => part.value ?? evaluation.number(part.node);
  const unit = first.unit ?? readableUnit(first.dimension, numberOf(first), first.point);
  const series = new Map<string, Point[]>();
  for (const row of rows) {
    const part = numberIn(row.row)!;
    const name = caseName(evaluation, {
      ...row.row,
      names: row.row.names.map(parts => parts.filter(other => other.kind !== 'value')),
    });
    const points = series.get(name) ?? [];
    points.push({
      x: fromSI(unit, numberOf(part), { difference: !part.point }),
      margin: row.margin / factor,
      name: caseName(evaluation, row.row),
      row,
    });
    series.set(name, points);
  }
  if (new Set([...series.values()].flat().map(point => point.x)).size < 2) return null;
  const all = [...series].map(([name, points]) => ({ name, points: points.sort((p, q) => p.x - q.x) }));
  return { all, axis: `${first.name || dimensionName(first.dimension)}, ${withDegrees(unit.symbol)}` };
}

function least(series: Series): number {
  return Math.min(...series.points.map(point => point.margin));
}

/** Height of a name at the end of its line, in pixels. */
const NAME_HEIGHT = 13;
/** Pixels from the end of a line to its name. */
const LEADER = 16;

/** A line with its points; the one that governs stands out. */
function drawSeries({ points }: Series, governs: boolean, x: Scale, y: Scale, ink: Ink): string {
  const path = line<Point>(
    point => x(point.x),
    point => y(point.margin),
  );
  return [
    element('path', {
      d: path([...points]) ?? '',
      fill: 'none',
      stroke: governs ? ink.accent : ink.muted,
      'stroke-width': governs ? 2 : 1,
    }),
    ...points.map(point =>
      element(
        'circle',
        {
          cx: x(point.x),
          cy: y(point.margin),
          r: governs ? 3.5 : 2,
          fill: point.row.passes === false ? ink.failing : governs ? ink.accent : ink.muted,
        },
        tooltip(`${point.name}: ${formatMargin(point.margin)}`),
      ),
    ),
  ].join('');
}

/** The series with the lowest margin stands out. Each is named at its end, beside the plot, where no line runs. */
function lines(
  title: string,
  all: readonly Series[],
  axis: string,
  label: string,
  ink: Ink,
  { width, height, most, names, ticks }: Room,
): string {
  const sorted = [...all].sort((p, q) => least(p) - least(q));
  const [top, bottom] = [28, height - 40];
  const drawn = sorted.slice(0, Math.min(most + 1, Math.floor((bottom - top) / NAME_HEIGHT) + 1));
  const [governing] = drawn as [Series];
  const worst = governing.points.reduce((low, point) => (point.margin < low.margin ? point : low));
  const nameOf = (series: Series): string =>
    series === governing ? `${series.name || 'lowest'}: ${formatMargin(worst.margin)}` : series.name;
  const room = Math.min(names, Math.max(...drawn.map(series => nameOf(series).length)) * LETTER);
  const frame: Frame = { left: 52, top, right: width - room - LEADER - GAP, bottom };
  const points = drawn.flatMap(series => series.points);
  const x = linear(
    points.map(point => point.x),
    frame.left,
    frame.right,
    ticks,
  );
  const y = linear([0, ...points.map(point => point.margin)], frame.bottom, frame.top, 5);
  const draw = (series: Series): string => drawSeries(series, series === governing, x, y, ink);
  const others = drawn.filter(series => series !== governing);
  const more = all.length - drawn.length;
  return picture(
    width,
    height,
    `${title}: lowest margin ${formatMargin(worst.margin)} in ${worst.name}`,
    ink,
    horizontalAxis(
      x,
      x.ticks(ticks),
      frame,
      more > 0 ? `${axis} (${formatNumber(more)} higher lines not drawn)` : axis,
      ink,
    ),
    verticalAxis(y, y.ticks(5), frame, label, ink),
    zeroLine(y, frame, ink),
    ...others.map(draw),
    draw(governing),
    ...placed(
      drawn.map(series => ({ series, at: y(series.points.at(-1)!.margin) })),
      frame,
    ).map(({ series, at, named }) => {
      const mine = series === governing;
      const end = x(series.points.at(-1)!.x);
      const color = mine ? (worst.row.passes === false ? ink.failing : ink.accent) : ink.foreground;
      return [
        element('path', {
          d: `M${end + 4} ${at}H${frame.right + 2}L${frame.right + LEADER - 3} ${named}`,
          fill: 'none',
          stroke: mine ? color : ink.muted,
          'stroke-width': 0.75,
          'stroke-dasharray': '2 2',
        }),
        text(shorten(nameOf(series), room), frame.right + LEADER, named + 4, {
          fill: color,
          'font-weight': mine ? 600 : undefined,
        }),
      ].join('');
    }),
  );
}

/** Names at the height at which their lines end, moved apart where they would stand on one another. */
function placed<T extends { readonly at: number }>(
  ends: readonly T[],
  { top, bottom }: Frame,
): (T & { readonly named: number })[] {
  const upward = [...ends].sort((p, q) => p.at - q.at).map(end => ({ ...end, named: end.at }));
  upward.forEach((end, i) => {
    end.named = Math.max(end.at, i === 0 ? top : upward[i - 1]!.named + NAME_HEIGHT);
  });
  let below = bottom + NAME_HEIGHT;
  for (const end of upward.reverse()) {
    end.named = Math.min(end.named, below - NAME_HEIGHT);
    below = end.named;
  }
  return upward;
}

function zeroLine(y: Scale, frame: Frame, ink: Ink): string {
  return element('line', {
    x1: frame.left,
    x2: frame.right,
    y1: y(0),
    y2: y(0),
    stroke: ink.foreground,
    'stroke-width': 1.5,
  });
}

/** One bar a case, the lowest first, from a drawn zero. */
function bars(
  title: string,
  named: readonly { readonly row: RowResult; readonly name: string; readonly margin: number }[],
  label: string,
  ink: Ink,
  { width, most, names, ticks }: Room,
): string {
  const shown = [...named].sort((p, q) => p.margin - q.margin).slice(0, most);
  const height = 44 + shown.length * 18 + 36;
  const frame: Frame = { left: names, top: 28, right: width - 56, bottom: height - 44 };
  const x = linear([0, ...shown.map(entry => entry.margin)], frame.left, frame.right, ticks - 2);
  const draw = ({ row, name, margin }: (typeof shown)[number], i: number): string => {
    const y = frame.top + 4 + i * 18;
    const color = row.passes === false ? ink.failing : i === 0 ? ink.accent : ink.muted;
    return [
      element(
        'rect',
        { x: Math.min(x(0), x(margin)), y, width: Math.max(1, Math.abs(x(margin) - x(0))), height: 12, fill: color },
        tooltip(`${name}: ${formatMargin(margin)}`),
      ),
      text(shorten(name || 'the one case', names - GAP), names - GAP, y + 10, { 'text-anchor': 'end' }),
      text(formatMargin(margin), x(Math.max(0, margin)) + 6, y + 10, { fill: color }),
    ].join('');
  };
  const more = named.length - shown.length;
  return picture(
    width,
    height,
    `${title}: lowest margin ${formatMargin(shown[0]!.margin)}`,
    ink,
    horizontalAxis(
      x,
      x.ticks(ticks - 2),
      frame,
      `${label}${more > 0 ? ` (${formatNumber(more)} higher ones not drawn)` : ''}`,
      ink,
    ),
    ...shown.map(draw),
    element('line', {
      x1: x(0),
      x2: x(0),
      y1: frame.top,
      y2: frame.bottom,
      stroke: ink.foreground,
      'stroke-width': 1.5,
    }),
  );
}

/** Pixels between the names and their bars. */
const GAP = 8;
/** Pixels of a letter, on average. */
const LETTER = 6;

function shorten(name: string, width: number): string {
  const most = Math.floor(width / LETTER);
  return name.length > most ? `${name.slice(0, most - 1)}…` : name;
}

function nothing(title: string, ink: Ink, { width }: Room): string {
  return picture(
    width,
    60,
    `${title}: no margin to draw`,
    ink,
    text('No row has a margin to draw: each is undetermined, unbounded or a condition.', 16, 34, { fill: ink.muted }),
  );
}
