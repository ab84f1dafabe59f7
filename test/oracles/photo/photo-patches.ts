import { oracle } from '../colour/read-oracle.ts';

/** Patches of four real photos: names, places, mean codes. */
export function readPhotoPatches(): Record<string, string>[] {
  return oracle('../photo/patch-centres.csv');
}
