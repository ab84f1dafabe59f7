import {
  traySheet as layoutOf,
  type PaperName,
  type SheetLayout,
} from '../core/photo/sheet-layout.ts';
import type { Ports } from './ports.ts';

export interface TraySheetCall {
  readonly paper: PaperName;
  /** Printed beside the places, in their order. */
  readonly codes: readonly string[];
  readonly out: string;
}

export interface TraySheetMade {
  readonly layout: SheetLayout;
  readonly out: string;
  /** Codes for which the sheet has no place. */
  readonly leftOver: readonly string[];
}

/** What do I lay my tiles on for the photo? A sheet to print. */
export async function traySheet(ports: Ports, call: TraySheetCall): Promise<TraySheetMade> {
  const layout = layoutOf(call.paper);
  const codes = call.codes.slice(0, layout.places.length);
  await ports.files.write(call.out, await ports.printing.traySheet(layout, codes));
  return { layout, out: call.out, leftOver: call.codes.slice(layout.places.length) };
}
