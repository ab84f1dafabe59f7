import type { Random } from '../../bench/random.ts';

/**
 * Something between the lamp and the sheet. Its shadow has none of the shapes that the reader fits.
 */
export interface Caster {
  /** A lumpy round thing like a hand; a box with a visible corner; a strap or a stand. */
  readonly shape: 'lump' | 'corner' | 'bar';
  readonly at: readonly [number, number];
  readonly angleDeg: number;
  readonly sizeMm: number;
  /** Share of the light it blocks. */
  readonly depth: number;
  /** Width of its penumbra at one end, and how much wider it gets per mm towards the other. */
  readonly softMm: number;
  readonly softGrows: number;
}

/** Share of the light that a caster leaves at a place in mm. */
export function leftBy(caster: Caster, x: number, y: number): number {
  const angle = (caster.angleDeg * Math.PI) / 180;
  const dx = x - caster.at[0];
  const dy = y - caster.at[1];
  const u = dx * Math.cos(angle) + dy * Math.sin(angle);
  const v = dy * Math.cos(angle) - dx * Math.sin(angle);
  const soft = caster.softMm + caster.softGrows * Math.max(0, v + caster.sizeMm);
  // Half of the lamp is visible on the edge itself; a round lamp appears along an S curve.
  const t = Math.min(1, Math.max(0, 0.5 + inside(caster, u, v) / soft));
  return 1 - caster.depth * t * t * (3 - 2 * t);
}

/** Distance to the edge, mm; above 0 inside. */
function inside({ shape, sizeMm }: Caster, u: number, v: number): number {
  switch (shape) {
    case 'lump': {
      const theta = Math.atan2(v, u);
      const edge = sizeMm * (1 + 0.25 * Math.cos(2 * theta) + 0.12 * Math.sin(3 * theta));
      return edge - Math.hypot(u, v);
    }
    case 'corner':
      return Math.min(u, v + 0.3 * u);
    case 'bar':
      return sizeMm / 4 - Math.abs(u + (v * v) / 2000);
  }
}

/** One or two casters; the edge of each runs over one of the spots half of the time. */
export function randomCasters(
  random: Random,
  spots: readonly (readonly [number, number])[],
  widthMm: number,
  heightMm: number,
): Caster[] {
  const shapes = ['lump', 'corner', 'bar'] as const;
  return Array.from({ length: random.whole(1, 2) }, () => {
    const shape = shapes[random.whole(0, 2)];
    const sizeMm = 30 + 50 * random.uniform();
    const angle = 2 * Math.PI * random.uniform();
    const spot = spots[random.whole(0, spots.length - 1)];
    const over = random.uniform() < 0.5;
    const anywhere = [widthMm * random.uniform(), heightMm * random.uniform()] as const;
    const away = shape === 'lump' ? sizeMm : shape === 'bar' ? sizeMm / 4 : 0;
    return {
      shape,
      at: over
        ? ([spot[0] - away * Math.cos(angle), spot[1] - away * Math.sin(angle)] as const)
        : anywhere,
      angleDeg: (angle * 180) / Math.PI,
      sizeMm,
      depth: 0.15 + 0.4 * random.uniform(),
      softMm: 2 + 10 * random.uniform(),
      softGrows: 0.15 * random.uniform(),
    };
  });
}
