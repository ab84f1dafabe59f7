/** Grams of one piece of a cutter. */
export function gramsOfPiece(volumeMm3: number, densityGPerCm3: number): number {
  return (volumeMm3 / 1000) * densityGPerCm3;
}
