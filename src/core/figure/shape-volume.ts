import type { PartShape } from './part-shape.ts';

/** Of a leaf or petal, where its edges are rolled out thin. Common practice, no source. */
const FEATHERED = 0.7;
/** Share of length times width that a leaf with two pointed ends fills: two parabolas. */
const POINTED = 2 / 3;
/** The same for an oval. */
const OVAL = Math.PI / 4;

/**
 * How much clay a shape takes.
 * Units:   sizes in mm -> cm3; nothing for an amount, which is a weight
 * Holds:   within 0.5 % of meshes of the same shapes, integrated by a geometry library (the test says which)
 * Limits:  a coil is a wire along its helix, so a coil of touching turns holds for wires thinner than half of it
 * Source:  solid geometry; a horn is a truncated cone along its curved centre line
 */
export function volumeCm3(shape: PartShape): number | undefined {
  const mm3 = volumeMm3(shape);
  return mm3 === undefined ? undefined : mm3 / 1000;
}

function volumeMm3(shape: PartShape): number | undefined {
  switch (shape.form) {
    case 'ball':
      return ball(shape.diameterMm);
    case 'log':
      return log(shape.diameterMm, shape.lengthMm);
    case 'cone':
      return log(shape.diameterMm, shape.lengthMm) / 3;
    case 'horn': {
      const [root, tip] = [shape.rootMm / 2, shape.tipMm / 2];
      return (Math.PI * shape.lengthMm * (root * root + root * tip + tip * tip)) / 3;
    }
    case 'teardrop': {
      const { diameterMm, lengthMm } = shape;
      return ball(diameterMm) / 2 + log(diameterMm, lengthMm - diameterMm / 2) / 3;
    }
    case 'leaf':
      return POINTED * flat(shape);
    case 'petal':
      return OVAL * flat(shape);
    case 'sheet':
      return flat(shape);
    case 'coil': {
      const { wireMm, acrossMm, turns, pitchMm } = shape;
      return log(wireMm, turns * Math.hypot(Math.PI * acrossMm, pitchMm));
    }
    case 'skin over a ball':
      return ball(shape.coreMm + 2 * shape.skinMm) - ball(shape.coreMm);
    case 'skin over a log': {
      const { coreMm, skinMm, lengthMm } = shape;
      return log(coreMm + 2 * skinMm, lengthMm + 2 * skinMm) - log(coreMm, lengthMm);
    }
    case 'amount':
      return undefined;
  }
}

/** Diameter of the ball of so much clay. */
export function ballOfMm(cm3: number): number {
  return Math.cbrt((6000 * cm3) / Math.PI);
}

/** A round piece that a cutter takes out of a sheet. */
export function pieceCm3({
  acrossMm,
  sheetMm,
}: {
  readonly acrossMm: number;
  readonly sheetMm: number;
}): number {
  return log(acrossMm, sheetMm) / 1000;
}

/**
 * The surface that is painted.
 * Units:   mm -> cm2; nothing for an amount
 * Limits:  of a leaf, a petal and a sheet both faces without their edges; of a skin the outside
 */
export function surfaceCm2(shape: PartShape): number | undefined {
  const mm2 = surfaceMm2(shape);
  return mm2 === undefined ? undefined : mm2 / 100;
}

function surfaceMm2(shape: PartShape): number | undefined {
  const round = (diameterMm: number) => (Math.PI * diameterMm * diameterMm) / 4;
  switch (shape.form) {
    case 'ball':
      return 4 * round(shape.diameterMm);
    case 'log':
      return Math.PI * shape.diameterMm * shape.lengthMm + 2 * round(shape.diameterMm);
    case 'cone':
      return slope(shape.diameterMm / 2, 0, shape.lengthMm) + round(shape.diameterMm);
    case 'horn':
      return (
        slope(shape.rootMm / 2, shape.tipMm / 2, shape.lengthMm) +
        round(shape.rootMm) +
        round(shape.tipMm)
      );
    case 'teardrop': {
      const radius = shape.diameterMm / 2;
      return 2 * round(shape.diameterMm) + slope(radius, 0, shape.lengthMm - radius);
    }
    case 'leaf':
      return 2 * POINTED * shape.lengthMm * shape.widthMm;
    case 'petal':
      return 2 * OVAL * shape.lengthMm * shape.widthMm;
    case 'sheet':
      return 2 * shape.lengthMm * shape.widthMm;
    case 'coil':
      return (
        Math.PI * shape.wireMm * shape.turns * Math.hypot(Math.PI * shape.acrossMm, shape.pitchMm)
      );
    case 'skin over a ball':
      return 4 * round(shape.coreMm + 2 * shape.skinMm);
    case 'skin over a log': {
      const outer = shape.coreMm + 2 * shape.skinMm;
      return Math.PI * outer * (shape.lengthMm + 2 * shape.skinMm) + 2 * round(outer);
    }
    case 'amount':
      return undefined;
  }
}

function ball(diameterMm: number): number {
  return (Math.PI * diameterMm ** 3) / 6;
}

function log(diameterMm: number, lengthMm: number): number {
  return (Math.PI * diameterMm * diameterMm * lengthMm) / 4;
}

function flat(shape: Extract<PartShape, { thicknessMm: number }>): number {
  const feathered = 'edges' in shape && shape.edges === 'feathered' ? FEATHERED : 1;
  return feathered * shape.lengthMm * shape.widthMm * shape.thicknessMm;
}

/** The round side of a cone or a truncated one. */
function slope(rootMm: number, tipMm: number, lengthMm: number): number {
  return Math.PI * (rootMm + tipMm) * Math.hypot(rootMm - tipMm, lengthMm);
}
