import type { Drawing, DrawnThing } from '../../domain/drawing/drawing.ts';
import type { Faces } from './faces.ts';

/**
 * A drawing as SVG with its texts as outlines, so that it looks the same everywhere.
 * Holds:   names no file and no address; the same drawing gives the same bytes
 */
export function svgOfDrawing(drawing: Drawing, faces: Faces, unit = ''): string {
  const { width, height, background, things } = drawing;
  const said = things.flatMap((thing) => (thing.kind === 'text' ? [thing.text] : []));
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}${unit}" height="${height}${unit}" viewBox="0 0 ${width} ${height}">`,
    `<title>${escaped(said.join('. '))}</title>`,
    `<rect width="${width}" height="${height}" fill="${background}"/>`,
    ...things.map((thing) => element(thing, faces)),
    '</svg>',
    '',
  ].join('\n');
}

function element(thing: DrawnThing, faces: Faces): string {
  switch (thing.kind) {
    case 'rect':
      return `<rect x="${num(thing.x)}" y="${num(thing.y)}" width="${num(thing.w)}" height="${num(thing.h)}" fill="${thing.fill}" shape-rendering="crispEdges"/>`;
    case 'frame':
      return `<rect x="${num(thing.x)}" y="${num(thing.y)}" width="${num(thing.w)}" height="${num(thing.h)}" fill="none" stroke="${thing.stroke}" stroke-width="${num(thing.line)}"/>`;
    case 'path':
      return `<path transform="translate(${num(thing.x)} ${num(thing.y)}) scale(${thing.scale})" fill="${thing.fill}" d="${thing.d}"/>`;
    case 'text': {
      const { text, size, face, fill, align = 'left', y } = thing;
      const width = align === 'left' ? 0 : faces.width(text, size, face);
      const x = thing.x - (align === 'right' ? width : align === 'centre' ? width / 2 : 0);
      return `<path transform="translate(${num(x)} ${num(y)})" fill="${fill}" d="${faces.outline(text, size, face)}"/>`;
    }
  }
}

function num(value: number): string {
  return String(Math.round(value * 1000) / 1000);
}

function escaped(text: string): string {
  return text.replace(/[&<>"]/g, (sign) => `&#${sign.charCodeAt(0)};`);
}
