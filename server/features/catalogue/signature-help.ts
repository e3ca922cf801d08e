import { callAt, environmentAt } from '../bindings.js';
import { caretAt } from '../caret.js';
import { inScene } from '../evaluate.js';
import { feature, type PositionParams } from '../feature.js';
import { entityAt } from '../scope.js';
import { signatureOf } from '../signature.js';

/** What the formula, table or builtin takes whose brackets the caret is in. */
export default feature(
  'textDocument/signatureHelp',
  { signatureHelpProvider: { triggerCharacters: ['(', ','], retriggerCharacters: ['='] } },
  (context, params: PositionParams) => {
    const caret = caretAt(context.text, context.lines.offset(params.position));
    if (!caret) return null;
    return inScene(context.project, scene => {
      const place = { scene, caret, entity: entityAt(context.project, context.file, caret) };
      const call = callAt(place, environmentAt(place));
      const signature = signatureOf(context, call?.value ?? null);
      if (!call || !signature) return null;
      const named = signature.parameters.findIndex(parameter => parameter.name === call.argumentName);
      const active = named >= 0 ? named : Math.min(call.argument, Math.max(signature.parameters.length - 1, 0));
      const parameters = signature.parameters.map(({ label, documentation }) => ({
        label,
        ...(documentation ? { documentation: { kind: 'markdown' as const, value: documentation } } : {}),
      }));
      return {
        signatures: [
          {
            label: signature.label,
            documentation: { kind: 'markdown', value: signature.documentation },
            parameters,
            activeParameter: active,
          },
        ],
        activeSignature: 0,
        activeParameter: active,
      };
    });
  },
);
