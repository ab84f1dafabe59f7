import { SEARCH_KERNEL } from './search-kernel.data.ts';

/** The functions of the kernel; see tools/search-kernel.as. */
export interface KernelCalls {
  readonly memory: { readonly buffer: ArrayBuffer; grow(pages: number): number };
  heapBase(): number;
  setDirections(
    lines: number,
    heads: number,
    supports: number,
    order: number,
    weights: number,
    lights: number,
    perLight: number,
    inner: number,
    dilution: number,
  ): void;
  mayHold(picks: number, count: number, spare: number, special: number): number;
  setCompositions(
    size: number,
    cells: number,
    end: number,
    shares: number,
    places: number,
    counts: number,
    recipes: number,
    found: number,
    room: number,
  ): void;
  setClays(curves: number, whites: number, amounts: number): void;
  begin(set: number, stamp: number, special: number): void;
  resultAt(): number;
  walk(from: number, asks: boolean): number;
}

/** The part of the WebAssembly interface used here, which Node and browsers share. */
interface Wasm {
  validate(code: Uint8Array): boolean;
  Module: new (code: Uint8Array) => object;
  Instance: new (module: object, imports: object) => { readonly exports: unknown };
}

const PAGE = 65_536;
let compiled: object | null | undefined;

/** Undefined where WebAssembly or its SIMD is missing. */
export function openKernel(allows: (cell: number) => boolean): KernelMemory | undefined {
  const wasm = (globalThis as { WebAssembly?: Wasm }).WebAssembly;
  if (compiled === undefined) compiled = wasm === undefined ? null : compile(wasm);
  if (wasm === undefined || compiled === null) return undefined;
  const { exports } = new wasm.Instance(compiled, {
    host: { allows: (cell: number) => Number(allows(cell)) },
  });
  return new KernelMemory(exports as KernelCalls);
}

/** Small enough to compile while the user waits. */
function compile(wasm: Wasm): object | null {
  const code = Uint8Array.from(atob(SEARCH_KERNEL), (c) => c.charCodeAt(0));
  try {
    return wasm.validate(code) ? new wasm.Module(code) : null;
  } catch {
    // A page may forbid compiling; the 64-bit bounds then give the same answer, more slowly.
    return null;
  }
}

/** The kernel with its memory, which is allocated from the front and never freed. */
export class KernelMemory {
  readonly calls: KernelCalls;
  /** Views of the whole memory; new ones after each `take`. */
  f32 = new Float32Array(0);
  i32 = new Int32Array(0);
  u8 = new Uint8Array(0);
  private next: number;

  constructor(calls: KernelCalls) {
    this.calls = calls;
    this.next = (calls.heapBase() + 15) & ~15;
    this.view();
  }

  /** Allocates this many bytes, all 0, at a multiple of 16. */
  take(bytes: number): number {
    const at = this.next;
    this.next = (at + bytes + 15) & ~15;
    const { memory } = this.calls;
    const short = this.next - memory.buffer.byteLength;
    if (short > 0) {
      memory.grow(Math.max(Math.ceil(short / PAGE), 16));
      this.view();
    }
    return at;
  }

  floats(values: ArrayLike<number>): number {
    const at = this.take(4 * values.length);
    this.f32.set(values, at >> 2);
    return at;
  }

  words(values: ArrayLike<number>): number {
    const at = this.take(4 * values.length);
    this.i32.set(values, at >> 2);
    return at;
  }

  bytes(values: ArrayLike<number>): number {
    const at = this.take(values.length);
    this.u8.set(values, at);
    return at;
  }

  private view(): void {
    const { buffer } = this.calls.memory;
    this.f32 = new Float32Array(buffer);
    this.i32 = new Int32Array(buffer);
    this.u8 = new Uint8Array(buffer);
  }
}
