/** Linear light of an sRGB code; below 0 the straight piece continues. Source: [CSSColor4] */
export function srgbDecoded(code: number): number {
  return code <= 0.04045 ? code / 12.92 : ((code + 0.055) / 1.055) ** 2.4;
}

/** sRGB code of linear light, the inverse of `srgbDecoded`. */
export function srgbEncoded(light: number): number {
  return light <= 0.0031308 ? light * 12.92 : 1.055 * light ** (1 / 2.4) - 0.055;
}

/** Linear light of every code of 8 or 16 bits. */
export function curveTable(top: 255 | 65535, curve: (code: number) => number): Float32Array {
  return Float32Array.from({ length: top + 1 }, (_, code) => curve(code / top));
}

/** XYZ (D50) of linear sRGB, 3 x 3 by rows. Source: [CSSColor4], Bradford D65 to D50 */
export const SRGB_TO_XYZ_D50: readonly number[] = [
  0.436065742824811, 0.3851514688337912, 0.14307845442264197, 0.22249319175623702,
  0.7168870538238823, 0.06061979053616537, 0.013923904500943465, 0.09708128566574634,
  0.7140993584005155,
];
