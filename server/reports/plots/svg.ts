/** Pictures as SVG text: one for panel, hover and report. */
import { spreadsheetCell } from '../../protocol/cells.js';

/** The few colours a picture is drawn in. */
export interface Ink {
  readonly foreground: string;
  readonly background: string;
  readonly muted: string;
  readonly grid: string;
  readonly accent: string;
  readonly failing: string;
}

export const INKS: Readonly<Record<'page' | 'light' | 'dark', Ink>> = {
  /** Custom properties that the page around the picture sets. */
  page: {
    foreground: 'var(--picture-foreground)',
    background: 'var(--picture-background)',
    muted: 'var(--picture-muted)',
    grid: 'var(--picture-grid)',
    accent: 'var(--picture-accent)',
    failing: 'var(--picture-failing)',
  },
  light: {
    foreground: '#1f1f1f',
    background: '#ffffff',
    muted: '#6b6b6b',
    grid: '#d8d8d8',
    accent: '#005fb8',
    failing: '#b3261e',
  },
  dark: {
    foreground: '#d4d4d4',
    background: '#1f1f1f',
    muted: '#9a9a9a',
    grid: '#404040',
    accent: '#4daafc',
    failing: '#f2857c',
  },
};

/** How much room a picture has, in pixels of its own, and so how much it shows. */
export interface Room {
  readonly width: number;
  readonly height: number;
  /** Most bars, and lines beside the one that stands out. */
  readonly most: number;
  /** Width of the names beside bars. */
  readonly names: number;
  /** Ticks of an axis. */
  readonly ticks: number;
}

export const PANEL: Room = { width: 640, height: 260, most: 24, names: 220, ticks: 8 };
export const HOVER: Room = { width: 420, height: 180, most: 8, names: 150, ticks: 5 };

export interface Picture {
  readonly title: string;
  readonly svg: string;
  /** The same as numbers. */
  readonly csv: string;
}

const FONT = 'var(--picture-font, system-ui, sans-serif)';

export function escapeXml(text: string): string {
  return text.replace(/[&<>"']/g, character => `&#${character.charCodeAt(0)};`);
}

type Attributes = Readonly<Record<string, string | number | undefined>>;

/** An element; children are SVG text already. */
export function element(name: string, attributes: Attributes, ...children: readonly string[]): string {
  const written = Object.entries(attributes)
    .filter(([, value]) => value !== undefined)
    .map(([key, value]) => ` ${key}="${typeof value === 'number' ? round(value) : escapeXml(value!)}"`)
    .join('');
  return children.length === 0 ? `<${name}${written}/>` : `<${name}${written}>${children.join('')}</${name}>`;
}

export function text(content: string, x: number, y: number, attributes: Attributes): string {
  return element('text', { x, y, ...attributes }, escapeXml(content));
}

export function tooltip(content: string): string {
  return element('title', {}, escapeXml(content));
}

/** The whole picture, named for a screen reader. */
export function picture(
  width: number,
  height: number,
  label: string,
  ink: Ink,
  ...children: readonly string[]
): string {
  return element(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      viewBox: `0 0 ${width} ${height}`,
      width,
      height,
      role: 'img',
      'aria-label': label,
      'font-family': FONT,
      'font-size': 11,
      fill: ink.foreground,
    },
    ...children,
  );
}

function round(x: number): number {
  return Math.round(x * 100) / 100;
}

/** Rows of a CSV file; what a spreadsheet would take for a formula is quoted as text. */
export function csvOf(rows: readonly (readonly (string | number)[])[]): string {
  const cell = (value: string | number): string => {
    if (typeof value === 'number') return Number.isFinite(value) ? String(value) : '';
    const safe = spreadsheetCell(value);
    return /[",\n\r]/.test(safe) ? `"${safe.replace(/"/g, '""')}"` : safe;
  };
  return `${rows.map(row => row.map(cell).join(',')).join('\n')}\n`;
}
