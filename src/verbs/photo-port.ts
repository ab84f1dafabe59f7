import type { Picture, PictureColour } from '../core/photo/picture.ts';

/** A photo taken apart: its codes, upright, and what they may stand for. */
export interface DecodedPhoto {
  readonly picture: Picture;
  /** The likeliest first. */
  readonly colours: readonly [PictureColour, ...PictureColour[]];
  readonly kind: string;
  readonly bits: 8 | 16;
  /** Name of the embedded profile, or 'none'. */
  readonly profile: string;
  readonly profileFollowed: boolean;
  /** Whether the file said that it lies on its side, and it was set upright. */
  readonly turned: boolean;
  readonly notes: readonly string[];
}

export interface PhotoDecoder {
  /** Refuses: what is no picture, damaged, or too large -> bad-input, with the file's name. */
  decode(bytes: Uint8Array, fileName: string): Promise<DecodedPhoto>;
}
