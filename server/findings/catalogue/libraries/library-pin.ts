import { here } from '../../fixes.js';
import { isContentPin, libraryOf, usesOf } from '../../libraries.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'library-pin',
  severity: 'error',
  title: 'A library is not the one that was pinned',
  message: ({ name, pin, present }) =>
    present
      ? `${name} was pinned at ${pin} and is ${present} now. Look at what has changed in it, then pin it anew.`
      : `${name} was pinned at ${pin}, and states no revision: its folder has no project block with one. Pin its content, or state a revision there.`,
  onProject(report, view): void {
    for (const { declaration, use, outcome } of usesOf(view)) {
      const library = libraryOf(view, outcome);
      if (!library?.hash || use.pin === null) continue;
      const present = isContentPin(use.pin) ? library.hash : library.revision;
      if (present !== use.pin)
        report({
          code: 'library-pin',
          place: at(declaration, use.pinId),
          data: { name: library.name, pin: use.pin, present: present ?? '', next: present ?? library.hash },
        });
    }
  },
  fix: ({ data }) => here(`Pin it at ${data['next']}`, `"${data['next']}"`),
});
