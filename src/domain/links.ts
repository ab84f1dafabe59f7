import type { BookKind, BookRecord } from './records/record.ts';

export interface Link {
  readonly to: string;
  /** What it must be a record of. */
  readonly kind: BookKind;
  /** In which field it stands. */
  readonly role: string;
  /** A weak link only remembers: what it names may be deleted, and may be gone. */
  readonly weak: boolean;
}

interface Ref {
  readonly kind: BookKind;
  readonly id: string;
}

/**
 * Every other record a record names. Strong where it would make no sense without.
 * Holds:   no link twice
 */
export function linksOf(record: BookRecord): readonly Link[] {
  const links = new Map<string, Link>();
  const add = (role: string, weak: boolean, refs: readonly Ref[]) => {
    for (const { kind, id: to } of refs) links.set(`${role} ${to}`, { to, kind, role, weak });
  };
  const strong = (role: string, ...refs: readonly Ref[]) => add(role, false, refs);
  const weak = (role: string, ...refs: readonly Ref[]) => add(role, true, refs);
  if ('collectionIds' in record.body)
    strong('collection', ...all('collection', record.body.collectionIds));
  switch (record.kind) {
    case 'line':
    case 'collection':
    case 'photo':
    case 'powder':
    case 'oven-check':
      break;
    case 'bend-test': {
      const { strongLineId, otherLineId, mixId } = record.body;
      strong('line', ...one('line', strongLineId), ...one('line', otherLineId));
      strong('mix', ...one('mix', mixId));
      break;
    }
    case 'block':
      strong('line', ...one('line', record.body.lineId));
      break;
    case 'wish':
      weak('widens', ...one('line', record.body.lineId));
      weak('block', ...one('block', record.body.blockId));
      break;
    case 'purchase':
      strong('of', record.body.of);
      strong('box', ...one('box', record.body.boxId));
      break;
    case 'stock-entry':
      strong('of', record.body.of);
      strong('purchase', ...one('purchase', record.body.purchaseId));
      break;
    case 'box':
      strong('inside', ...one('box', record.body.insideOf));
      strong('holds', ...record.body.holds.map(({ of }) => of));
      break;
    case 'tile': {
      const { of, boxId, purchaseIds } = record.body;
      if ('parts' in of) strong('parts', ...of.parts.map(({ of }) => of));
      else strong('of', of);
      strong('box', ...one('box', boxId));
      strong('purchase', ...all('purchase', purchaseIds));
      break;
    }
    case 'reading':
      strong('of', record.body.of);
      strong('photo', ...one('photo', record.body.photoId));
      break;
    case 'mix': {
      const { parts, powders, cameFromId, predicted, standsForId } = record.body;
      strong('parts', ...parts.map(({ of }) => of));
      strong('powder', ...(powders ?? []).flatMap(({ powderId }) => one('powder', powderId)));
      weak('came from', ...one('mix', cameFromId));
      weak('stands for', ...one('block', standsForId));
      weak('predicted by', ...one('clay-model', predicted?.clayModelId));
      break;
    }
    case 'palette':
      weak('mix', ...record.body.aims.flatMap(({ mixId }) => one('mix', mixId)));
      break;
    case 'clay-model':
      weak('clay', ...record.body.clays.flatMap(({ blockId }) => one('block', blockId)));
      weak('learned from', ...record.body.learnedFrom.flatMap((r) => one('reading', r.readingId)));
      break;
    case 'note':
      strong('of', record.body.of);
      break;
    case 'figure':
      for (const { of, purchaseIds, tileId, spare } of record.body.batches) {
        strong('batch', of);
        strong('purchase', ...all('purchase', purchaseIds));
        strong('tile', ...one('tile', tileId));
        strong('box', ...one('box', spare?.boxId));
      }
      for (const { of, paint } of record.body.plan?.shapes ?? []) {
        strong('shape', ...(of === undefined ? [] : [of]));
        strong('paint', ...one('powder', paint?.powderId));
        strong('painted like', ...(paint?.like === undefined ? [] : [paint.like]));
      }
      weak('palette', ...one('palette', record.body.paletteId));
      strong('photo', ...all('photo', record.body.photoIds));
      break;
    case 'settings':
      weak('short name', ...(record.body.shortNames ?? []).map(({ of }) => of));
      break;
  }
  return [...links.values()];
}

function one(kind: BookKind, id: string | undefined): readonly Ref[] {
  return id === undefined ? [] : [{ kind, id }];
}

function all(kind: BookKind, ids: readonly string[] | undefined): readonly Ref[] {
  return (ids ?? []).map((id) => ({ kind, id }));
}
