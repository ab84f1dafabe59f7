declare module 'js-aruco2' {
  interface FoundMarker {
    readonly id: number;
    readonly corners: readonly { readonly x: number; readonly y: number }[];
  }
  const all: { AR: {
    DICTIONARIES: Record<string, { readonly codeList: readonly number[] }>;
    Detector: new (config: {
      dictionaryName: string;
      maxHammingDistance?: number;
    }) => {
      detect(image: { width: number; height: number; data: Uint8ClampedArray }): FoundMarker[];
    };
  } };
  export default all;
}
