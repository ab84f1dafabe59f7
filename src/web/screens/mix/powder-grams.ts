/**
 * Grams of a powder to work into so much clay.
 * Units:   grams of clay without powders -> grams of the powder
 * Holds:   powder over clay with all powders is the share of the recipe
 */
export function powderGrams(
  clayG: number,
  powders: readonly { readonly share: number }[],
  share: number,
): number {
  return (clayG * share) / (1 - powders.reduce((sum, powder) => sum + powder.share, 0));
}
