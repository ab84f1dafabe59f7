const KNOWN = ['image/jpeg', 'image/png', 'image/heic', 'image/tiff', 'image/webp'];

/** What a photo is sent as; what a file really is, Kneadwell finds out. */
export function photoMediaType(file: File): string {
  return KNOWN.includes(file.type) ? file.type : 'application/octet-stream';
}
