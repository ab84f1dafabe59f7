import { Link } from '@tanstack/react-router';
import type { TileInSight } from './tiles-in-sight.ts';

/** A link from a tile to the photo of its reading. */
export function WhereRead({ tile: { title, raw, baked } }: { readonly tile: TileInSight }) {
  const id = baked?.photoId ?? raw?.photoId;
  if (id === undefined) return null;
  return (
    <Link
      className="button"
      data-kind="quiet"
      to="/photos/$id"
      params={{ id }}
      aria-label={`Show in photo: ${title}`}
    >
      Show in photo
    </Link>
  );
}
