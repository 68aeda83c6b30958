// Formulas set by the server, fetched once each and made safe to stand in the page.
import { inPath } from '../api/rest';

const fetched = new Map<string, Promise<SVGElement | null>>();
let copies = 0;

/** The formula of an equation as a picture of its own; null if it cannot be had. */
export async function formulaOf(equation: string): Promise<SVGElement | null> {
  let known = fetched.get(equation);
  if (!known) {
    known = load(equation);
    fetched.set(equation, known);
  }
  const svg = await known;
  if (!svg) fetched.delete(equation); // the server may have it the next time
  return svg ? ownNames(svg.cloneNode(true) as SVGElement) : null;
}

async function load(equation: string): Promise<SVGElement | null> {
  try {
    const response = await fetch(`./api/formula/${inPath(equation)}`, { credentials: 'same-origin' });
    if (!response.ok) return null;
    const parsed = new DOMParser().parseFromString(await response.text(), 'image/svg+xml');
    const root = parsed.documentElement;
    if (root.nodeName !== 'svg') return null;
    for (const element of [root, ...root.querySelectorAll('*')]) {
      if (['script', 'style', 'foreignObject'].includes(element.nodeName)) element.remove();
      // the page's rules forbid styles of its parts; handlers have no business in a picture
      for (const { name } of [...element.attributes]) if (name === 'style' || name.startsWith('on')) element.removeAttribute(name);
    }
    return document.importNode(root, true) as unknown as SVGElement;
  } catch {
    return null; // the formula in plain letters stands in its place
  }
}

/** Two pictures in one page must not share the names by which their parts refer to each other. */
function ownNames(svg: SVGElement): SVGElement {
  const prefix = `f${++copies}-`;
  for (const element of svg.querySelectorAll('[id]')) element.id = prefix + element.id;
  for (const element of svg.querySelectorAll('*')) {
    for (const attribute of [...element.attributes]) {
      if (attribute.localName === 'href' && attribute.value.startsWith('#')) attribute.value = `#${prefix}${attribute.value.slice(1)}`;
      else if (attribute.value.includes('url(#')) attribute.value = attribute.value.replaceAll('url(#', `url(#${prefix}`);
    }
  }
  return svg;
}
