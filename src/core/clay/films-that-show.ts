import type { TileReading } from './tile-reading.ts';

/**
 * From this thickness on, mm, clay hides what lies behind it, unless something shows that it does not.
 * Common practice, no source: sheets are judged opaque from about 1 mm.
 */
const HIDES_FROM_MM = 1;

/**
 * Readings with a film only where what lies behind can show: in a layer thinner than 1 mm, in clay that is
 * declared translucent, or where the same mix was read on two backings. A thickness beside any other tile
 * says nothing of its colour, and taking it for a film turned opaque clays into translucent ones.
 * Holds: an opaque tile with a thickness is the same tile without one
 */
export function onlyFilmsThatShow(readings: readonly TileReading[]): readonly TileReading[] {
  const backings = new Map<string, Set<string>>();
  for (const { film, parts } of readings) {
    if (film === undefined) continue;
    const key = mixKey(parts);
    backings.set(key, (backings.get(key) ?? new Set()).add(String(film.backing)));
  }
  return readings.map((reading) => {
    const { film, ...opaque } = reading;
    if (film === undefined) return reading;
    const shows =
      film.thicknessMm < HIDES_FROM_MM ||
      reading.translucent === true ||
      backings.get(mixKey(reading.parts))!.size > 1;
    return shows ? reading : opaque;
  });
}

function mixKey(parts: TileReading['parts']): string {
  return parts
    .filter(({ share }) => share > 0)
    .map(({ clay, share }) => `${share.toPrecision(5)} ${clay}`)
    .sort()
    .join('\n');
}
