import { copiedTableMessage, pastedTableMessage } from '../../protocol/spreadsheet.js';
import { feature, textFeature, type Feature, type PositionParams } from '../feature.js';
import { copiedTable, pastedTable } from '../spreadsheet.js';

/** Ranges of a spreadsheet, through the clipboard. */
const features: readonly Feature[] = [
  textFeature(pastedTableMessage.method, {}, (_, { text }: { readonly text: string }) => pastedTable(text)),
  feature(
    copiedTableMessage.method,
    {},
    (context, { position, decimal }: PositionParams & { readonly decimal: string }) =>
      copiedTable(context, context.lines.offset(position), decimal),
  ),
];
export default features;
