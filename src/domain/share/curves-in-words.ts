/** What becomes of the curves of a share file. */
export const CURVES_TAKEN = ['joined', 'alone', 'no-anchor', 'other-basis', 'none'] as const;
export type CurvesTaken = (typeof CURVES_TAKEN)[number];

/** The same for the user; empty where there is nothing to say. */
export function curvesInWords(curves: CurvesTaken): string {
  return {
    joined:
      'Mixes of these clays with yours can be predicted: a clay that is in both books ties the two.',
    alone: 'How these clays mix comes along, so recipes of them can be predicted at once.',
    'no-anchor':
      'How these clays mix stays out: no clay of your clay model is among them. Once one is in both books, mixes of both can be predicted.',
    'other-basis':
      'How these clays mix stays out: the author counts parts by weight and you by volume, or the other way round.',
    none: '',
  }[curves];
}
