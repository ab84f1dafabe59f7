import { useState } from 'react';
import { FileTrigger } from 'react-aria-components';
import { PAPERS } from '../../core/photo/sheet-layout.ts';
import { wordsOf } from '../book/change.ts';
import { Button } from '../parts/button.tsx';
import { Pick } from '../parts/field.tsx';
import { readAgain } from './ask-reading.ts';
import {
  type ChartAsked,
  changePhoto,
  changePhotoSession,
  type PhotoHere,
  photoSessionNow,
} from './photo-session-store.ts';

type ChartWord = 'from 2014' | 'before 2014' | 'none' | 'own';

/** The chart in the photos: one for all, as a user has one chart. */
export function SessionChart({ chart }: { readonly chart: ChartAsked }) {
  return (
    <ChartPick
      chart={chart}
      onPick={(next) => {
        changePhotoSession((now) => ({ ...now, chart: next }));
        for (const { draftId } of photoSessionNow().photos) readAgain(draftId, 0);
      }}
    />
  );
}

/** An edition of the chart, none, or the user's own chart file. */
export function ChartPick({
  chart,
  onPick: set,
}: {
  readonly chart: ChartAsked;
  readonly onPick: (chart: ChartAsked) => void;
}) {
  const [no, setNo] = useState<string | undefined>();
  const own = typeof chart === 'string' ? undefined : chart;
  const take = async (files: FileList | null) => {
    const file = files?.[0];
    if (file === undefined) return;
    try {
      setNo(undefined);
      const text = await file.text();
      if (text.length > 200_000)
        return setNo('This file is too large for 24 readings. Choose the file of your chart.');
      set({ fileName: file.name.slice(0, 200), text });
    } catch (fault) {
      setNo(wordsOf(fault));
    }
  };
  return (
    <div className="stack">
      <Pick<ChartWord>
        label="Chart of 24 patches"
        help="The year is printed on the back. Without a chart in the photo, this does not matter."
        value={own === undefined ? (chart as ChartWord) : 'own'}
        onChange={(word) => word !== 'own' && set(word)}
        options={[
          ['from 2014', 'made in November 2014 or later'],
          ['before 2014', 'made before November 2014'],
          ['none', 'no chart in the photo'],
          ...(own === undefined ? [] : ([['own', `as measured in ${own.fileName}`]] as const)),
        ]}
      />
      <FileTrigger
        acceptedFileTypes={['.csv', '.txt', '.ti3', 'text/csv']}
        onSelect={(files) => void take(files)}
      >
        <Button kind="quiet">Use the file of my measured chart</Button>
      </FileTrigger>
      {no === undefined ? null : <p className="field-no">{no}</p>}
    </div>
  );
}

type SheetWord = 'any' | 'A4' | 'Letter' | 'none' | 'own';

/** What is under the tiles of one photo: a tray sheet, a board or nothing. */
export function SheetPick({ photo }: { readonly photo: PhotoHere }) {
  const [no, setNo] = useState<string | undefined>();
  const { draftId, sheet } = photo;
  const set = (next: PhotoHere['sheet']) => {
    const { corners: _, ...rest } = photo;
    changePhotoSession((now) => ({
      ...now,
      photos: now.photos.map((one) => (one.draftId === draftId ? { ...rest, sheet: next } : one)),
    }));
    readAgain(draftId, 0);
  };
  const take = async (files: FileList | null) => {
    const file = files?.[0];
    if (file === undefined) return;
    try {
      setNo(undefined);
      changePhoto(draftId, {});
      set({ board: JSON.parse(await file.text()) });
    } catch {
      setNo(
        `${file.name} does not describe a board with markers. See docs/photo.md for an example.`,
      );
    }
  };
  return (
    <div className="stack">
      <Pick<SheetWord>
        label="The tiles are on"
        value={typeof sheet === 'string' ? sheet : 'own'}
        onChange={(word) => word !== 'own' && set(word)}
        options={[
          ['any', 'a printed tray sheet'],
          ...PAPERS.map((paper) => [paper, `the tray sheet on ${paper}`] as const),
          ['none', 'no sheet: I tap the tiles'],
          ...(typeof sheet === 'string'
            ? []
            : ([['own', `my board ${sheet.board.name}`]] as const)),
        ]}
      />
      <FileTrigger
        acceptedFileTypes={['.json', 'application/json']}
        onSelect={(files) => void take(files)}
      >
        <Button kind="quiet">Use the file of my own board</Button>
      </FileTrigger>
      {no === undefined ? null : <p className="field-no">{no}</p>}
    </div>
  );
}
