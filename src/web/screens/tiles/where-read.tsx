import { Link } from '@tanstack/react-router';
import type { TileInSight } from './tiles-in-sight.ts';

/** The way from a tile to the photo its reading came of. */
export function WhereRead({ tile: { title, raw, baked } }: { readonly tile: TileInSight }) {
  const id = baked?.photoId ?? raw?.photoId;
  if (id === undefined) return null;
  return (
    <Link
      className="button"
      data-kind="quiet"
      to="/photos/$id"
      params={{ id }}
      aria-label={`See where it was read: ${title}`}
    >
      See where it was read
    </Link>
  );
}
