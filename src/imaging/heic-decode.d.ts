declare module 'heic-decode' {
  interface HeicImage {
    readonly width: number;
    readonly height: number;
    /** Four 8-bit channels for each pixel. */
    decode(): Promise<{ readonly data: Uint8ClampedArray }>;
  }
  const decode: {
    all(input: {
      readonly buffer: Uint8Array;
    }): Promise<readonly HeicImage[] & { dispose(): void }>;
  };
  export default decode;
}
