/**
 * Pictures of statuses for the margin of an editor: each has a shape of its own, so that none rests on colour alone.
 */
import * as vscode from 'vscode';
import type { Status } from '../../server/protocol/overview.js';

/** `thin` is a verified requirement whose margin is close to none. */
export type Mark = Status | 'thin';
export type Ground = 'light' | 'dark';

interface Shape {
  readonly colors: Readonly<Record<Ground, string>>;
  /** On sixteen by sixteen, in the colour of the mark. */
  readonly body: (color: string) => string;
}

const stroke =
  (path: string, width = 1.6) =>
  (color: string): string =>
    `<path d="${path}" fill="none" stroke="${color}" stroke-width="${width}" stroke-linecap="round" stroke-linejoin="round"/>`;
const grey = { light: '#5f6a75', dark: '#a9b2bc' };
const amber = { light: '#9a6700', dark: '#d9a530' };

const SHAPES: Readonly<Record<Mark, Shape>> = {
  failing: {
    colors: { light: '#c72e2e', dark: '#f2726b' },
    body: color =>
      `<circle cx="8" cy="8" r="6.2" fill="${color}"/><path d="M5.7 5.7l4.6 4.6M10.3 5.7l-4.6 4.6" stroke="#fff" stroke-width="1.7" stroke-linecap="round"/>`,
  },
  undetermined: {
    colors: amber,
    body: color =>
      stroke('M5.4 6.1a2.6 2.6 0 1 1 4 2.2c-.9.6-1.4 1.1-1.4 2', 1.8)(color) +
      `<circle cx="8" cy="13" r="1.15" fill="${color}"/>`,
  },
  waived: { colors: grey, body: stroke('M8 2.6v10.8M5.2 13.4h5.6M3 5h10M3 5l-1.6 4.2h3.2zM13 5l-1.6 4.2h3.2z', 1.3) },
  lapsed: { colors: amber, body: stroke('M2.4 8a5.6 5.6 0 1 0 1.7-4M2.6 2.4l.3 2.9 2.9-.3M8 5v3.2l2.2 1.4', 1.4) },
  unverified: {
    colors: { light: '#1f6fc2', dark: '#59a4f5' },
    body: color => `<circle cx="8" cy="8" r="4.8" fill="none" stroke="${color}" stroke-width="1.6"/>`,
  },
  verified: { colors: { light: '#3f8f4f', dark: '#73c98a' }, body: stroke('M3.2 8.6l3.1 3.1 6.4-7.2', 1.8) },
  thin: { colors: amber, body: stroke('M3.6 6.8l2.7 2.7 6-6.7M2.8 13.4h10.4', 1.7) },
};

/** A faded one stands for what is being judged again. */
export function markPicture(mark: Mark, ground: Ground, faded: boolean): vscode.Uri {
  const { colors, body } = SHAPES[mark];
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="16" height="16" viewBox="0 0 16 16"><g opacity="${faded ? 0.35 : 1}">${body(colors[ground])}</g></svg>`;
  return vscode.Uri.parse(`data:image/svg+xml;base64,${btoa(svg)}`);
}
