/** Elements made without markup text, so that nothing in a project can become markup. */

type Attributes = Readonly<Record<string, string | number | boolean | undefined>>;

export function html<Name extends keyof HTMLElementTagNameMap>(
  name: Name,
  attributes: Attributes = {},
  ...children: readonly (Node | string)[]
): HTMLElementTagNameMap[Name] {
  const made = document.createElement(name);
  set(made, attributes);
  made.append(...children);
  return made;
}

export function svg(name: string, attributes: Attributes = {}, ...children: readonly (Node | string)[]): SVGElement {
  const made = document.createElementNS('http://www.w3.org/2000/svg', name);
  set(made, attributes);
  made.append(...children);
  return made;
}

function set(element: Element, attributes: Attributes): void {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === false) continue;
    element.setAttribute(name, value === true ? '' : String(value));
  }
}

/** A picture that the server drew. It is parsed as XML, and what could act is left out. */
export function pictureOf(text: string): Element | null {
  const parsed = new DOMParser().parseFromString(text, 'image/svg+xml').documentElement;
  if (parsed.nodeName !== 'svg') return null;
  for (const element of parsed.querySelectorAll('*')) {
    if (!DRAWN.has(element.nodeName)) element.remove();
    for (const { name } of [...element.attributes])
      if (name.startsWith('on') || name === 'href') element.removeAttribute(name);
  }
  return document.importNode(parsed, true);
}

const DRAWN: ReadonlySet<string> = new Set(['g', 'path', 'line', 'rect', 'circle', 'text', 'title']);
