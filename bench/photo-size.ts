/**
 * Time and memory of reading one large photo, step by step, by the clock and by the processor. What the
 * clock says depends on what else the machine does; against plain decoding in the same run it does less. A rendered tray is photographed with
 * that many pixels and written as JPEG (or 16 bit PNG); a separate process reads it. Memory is the
 * most that process used until the end of the step, its start included.
 * Run:     npx tsx bench/photo-size.ts [--megapixels 12] [--deep]
 */
import { spawnSync } from 'node:child_process';
import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import sharp from 'sharp';
import { CHART_VALUES } from '../src/core/photo/chart-values.ts';
import { findChart } from '../src/core/photo/find-chart.ts';
import { findSheet } from '../src/core/photo/find-sheet.ts';
import { readPhoto } from '../src/core/photo/read-photo.ts';
import { PAPERS, traySheetLayout } from '../src/core/photo/sheet-layout.ts';
import { decodePhoto } from '../src/imaging/decode-photo.ts';
import { render } from '../test/studio-camera/render.ts';
import { randomScene } from '../test/studio-camera/scene.ts';
import { randomFrom } from './random.ts';

const { values } = parseArgs({
  options: {
    megapixels: { type: 'string', default: '12' },
    deep: { type: 'boolean', default: false },
    file: { type: 'string' },
  },
});
if (values.file === undefined) await photographAndAsk();
else await readStepByStep(values.file);

async function photographAndAsk(): Promise<void> {
  const random = randomFrom(9);
  const plain = randomScene(random, 'D65');
  const scene = { ...plain, output: 'sRGB' as const, shadow: undefined, hand: undefined };
  const small = render(scene, random);
  const scale = Math.sqrt((Number(values.megapixels) * 1e6) / (small.width * small.height));
  const enlarged = sharp(small.codes, {
    raw: { width: small.width, height: small.height, channels: 3 },
  }).resize(Math.round(small.width * scale), Math.round(small.height * scale), { kernel: 'cubic' });
  const made = await (values.deep
    ? enlarged.toColourspace('rgb16').png({ compressionLevel: 1 })
    : enlarged.jpeg({ quality: 92 })
  ).toBuffer();

  const file = join(tmpdir(), `kneadwell-${process.pid}.photo`);
  writeFileSync(file, made);
  process.stdout.write(
    `${Math.round(small.width * scale)} x ${Math.round(small.height * scale)}, file of ${(made.length / 1e6).toFixed(1)} MB\n`,
  );
  spawnSync(process.execPath, [...process.execArgv, import.meta.filename, '--file', file], {
    stdio: 'inherit',
  });
  rmSync(file);
}

async function readStepByStep(file: string): Promise<void> {
  const startMb = process.resourceUsage().maxRSS / 1024;
  let decoding = Number.NaN;
  const line = (what: string, { clockMs, used }: Started) => {
    const clock = (performance.now() - clockMs) / 1000;
    const { user, system } = process.cpuUsage(used);
    const processor = (user + system) / 1e6;
    if (Number.isNaN(decoding)) decoding = processor;
    const memory = process.resourceUsage().maxRSS / 1024;
    process.stdout.write(
      `${what.padEnd(32)} ${clock.toFixed(2).padStart(6)} s, processor ${processor.toFixed(2).padStart(6)} s, ${(processor / decoding).toFixed(1).padStart(5)} times decoding, ${memory.toFixed(0).padStart(5)} MB\n`,
    );
  };
  process.stdout.write(`${startMb.toFixed(0)} MB before the file is read\n`);
  const layouts = PAPERS.map(traySheetLayout);
  let started = now();
  const { picture, colours } = await decodePhoto(new Uint8Array(readFileSync(file)), 'large');
  line('decode', started);
  started = now();
  findSheet(picture, layouts);
  line('  find the sheet', started);
  started = now();
  findChart(picture);
  line('  find the chart', started);
  for (const round of ['the whole reading', 'read again']) {
    started = now();
    const read = readPhoto({ picture, colours, layouts, chart: CHART_VALUES['before 2014'] });
    line(`${round} (${read.tiles.length} tiles)`, started);
  }
}

interface Started {
  readonly clockMs: number;
  readonly used: NodeJS.CpuUsage;
}

function now(): Started {
  return { clockMs: performance.now(), used: process.cpuUsage() };
}
