import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import type { JournalGroup } from '../../contract/book/change.ts';
import type { BodyOf, BookRecord } from '../../contract/book/record.ts';
import { change, changeBook, make, redoChange, wordsOf } from '../book/change.ts';
import { client } from '../book/client.ts';
import { useJob } from '../book/job.ts';
import { queries, useAll } from '../book/queries.ts';
import { tell } from '../book/told.ts';
import { type Look, setLook, useLook } from '../look/look.ts';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { Field, Part, Pick } from '../parts/field.tsx';
import { JobLine } from '../parts/job-line.tsx';
import { Sheet } from '../parts/sheet.tsx';
import { TakeBack, whenInWords } from './record-history.tsx';
import { count } from './start.tsx';

/** How she likes it shown, who may come in, what lies in the bin, what was done. */
export function Settings() {
  const look = useLook();
  return (
    <div className="screen">
      <header>
        <h1>Settings</h1>
      </header>
      <Part title="This screen">
        <Choice<Look['frame']>
          label="Frame"
          value={look.frame}
          onChange={(frame) => setLook({ frame })}
          options={[
            ['as the device', 'As the device'],
            ['light', 'Light frame'],
            ['dark', 'Dark frame'],
          ]}
        />
        <Choice<Look['surround']>
          label="Surround of colours"
          value={look.surround}
          onChange={(surround) => setLook({ surround })}
          options={[
            ['light', 'Light surround'],
            ['mid', 'Mid grey surround'],
            ['dark', 'Dark surround'],
          ]}
        />
        <p className="soft">
          A colour looks otherwise on white than on black; judge on the ground the tile will lie on.
          No screen is the colour: the tile is. Compare by daylight, and again under the lamp it
          will be seen under.
        </p>
      </Part>
      <Units />
      <Devices />
      <Keeping />
      <Bin />
      <History />
    </div>
  );
}

const FIRST: BodyOf<'settings'> = {
  units: { length: 'mm', mass: 'g', temp: 'C', volume: 'ml' },
};

function Units() {
  const [record] = useAll('settings').records;
  const body = record?.body ?? FIRST;
  const [studio, setStudio] = useState<string | undefined>();
  const keep = async (what: string, next: BodyOf<'settings'>) => {
    try {
      await changeBook(what, [
        record !== undefined ? change(record, next) : make('settings', next, 'settings'),
      ]);
    } catch (fault) {
      tell({ text: wordsOf(fault) });
    }
  };
  const unit = <K extends keyof typeof body.units>(key: K, value: (typeof body.units)[K]) =>
    void keep('Changed the units', { ...body, units: { ...body.units, [key]: value } });
  return (
    <Part title="Units">
      <div className="form">
        <div className="two">
          <Pick
            label="Length"
            value={body.units.length}
            onChange={(v) => unit('length', v)}
            options={[
              ['mm', 'mm'],
              ['in', 'inches'],
            ]}
          />
          <Pick
            label="Weight"
            value={body.units.mass}
            onChange={(v) => unit('mass', v)}
            options={[
              ['g', 'grams'],
              ['oz', 'ounces'],
            ]}
          />
          <Pick
            label="Oven"
            value={body.units.temp}
            onChange={(v) => unit('temp', v)}
            options={[
              ['C', '°C'],
              ['F', '°F'],
            ]}
          />
          <Pick
            label="Volume"
            value={body.units.volume}
            onChange={(v) => unit('volume', v)}
            options={[
              ['ml', 'ml'],
              ['fl oz', 'fl oz'],
            ]}
          />
        </div>
        <form
          className="stack"
          onSubmit={(event) => {
            event.preventDefault();
            const { studio: _, ...rest } = body;
            const name = (studio ?? '').trim();
            void keep('Named the studio', { ...rest, ...(name === '' ? {} : { studio: name }) });
          }}
        >
          <Field
            label="Name of the studio"
            value={studio ?? body.studio ?? ''}
            onChange={setStudio}
          />
          <div className="doings">
            <Button
              type="submit"
              isDisabled={studio === undefined || studio === (body.studio ?? '')}
            >
              Keep the name
            </Button>
          </div>
        </form>
      </div>
    </Part>
  );
}

function Devices() {
  const { data: me } = useQuery({
    queryKey: ['devices', 'this'],
    queryFn: async () => (await client.call('thisDevice', {})).body,
  });
  const { data: network } = useQuery({
    queryKey: ['devices', 'network'],
    queryFn: async () => (await client.call('network', {})).body,
  });
  const { data: devices = [] } = useQuery({
    queryKey: ['devices', 'list'],
    queryFn: async () => (await client.call('listDevices', {})).body.devices,
    enabled: me?.owner === true,
  });
  const [pairing, setPairing] = useState<
    { code: string; qrSvg?: string; urls: readonly string[] } | undefined
  >();
  const run = async (work: () => Promise<unknown>) => {
    try {
      await work();
      await queries.invalidateQueries({ queryKey: ['devices'] });
    } catch (fault) {
      tell({ text: wordsOf(fault) });
    }
  };
  const owner = me?.owner === true;
  return (
    <Part title="Other devices">
      <p>
        {network?.on === true
          ? `Paired devices of the home network find the book at ${network.urls.join(' or ') || 'this computer'}.`
          : 'Only this computer can look into the book. Let the home network in to use it on a phone or tablet at the bench.'}
        {network?.on === true && !network.secure
          ? ' Over plain http a phone cannot keep its screen awake or work offline.'
          : ''}
      </p>
      {owner ? (
        <div className="doings">
          <Button
            onPress={() =>
              void run(() => client.call('setNetwork', { body: { on: network?.on !== true } }))
            }
          >
            {network?.on === true ? 'Shut the home network out' : 'Let the home network in'}
          </Button>
          {network?.on === true ? (
            <Button
              onPress={() =>
                void run(async () =>
                  setPairing((await client.call('startPairing', {})).body as never),
                )
              }
            >
              Pair a device
            </Button>
          ) : null}
        </div>
      ) : (
        <p className="soft">Pairing is done on the computer that keeps the book.</p>
      )}
      {devices.length === 0 ? null : (
        <ul className="history">
          {devices.map((device) => (
            <li key={device.id}>
              <span>
                {device.name}{' '}
                <span className="soft small">last seen {whenInWords(device.lastSeenAt)}</span>
              </span>
              <Button
                kind="quiet"
                onPress={() =>
                  void run(() => client.call('revokeDevice', { params: { id: device.id } }))
                }
              >
                Shut {device.name} out
              </Button>
            </li>
          ))}
        </ul>
      )}
      <Sheet
        title="Pair a device"
        isOpen={pairing !== undefined}
        onClose={() => setPairing(undefined)}
      >
        <p>
          On the phone, open {pairing?.urls[0]?.split('#')[0] ?? 'the address above'} and type this
          code:
        </p>
        <p className="mixing-name">{pairing?.code}</p>
        {pairing?.qrSvg === undefined ? null : (
          <img
            className="qr"
            alt="The same address and code as a QR code"
            src={`data:image/svg+xml;utf8,${encodeURIComponent(pairing.qrSvg)}`}
          />
        )}
      </Sheet>
    </Part>
  );
}

function Keeping() {
  const job = useJob((done) => {
    const found = done.result?.findings ?? done.result?.troubles;
    const none = !Array.isArray(found) || found.length === 0;
    tell({
      text: none
        ? 'The book was looked through: all is whole.'
        : 'The book was looked through; see below.',
    });
  });
  return (
    <Part title="Keeping it safe">
      <p>
        A copy of the book is made by itself once a day and kept beside it. To put one back, or to
        take one to another computer, use <code>kneadwell backup</code> and{' '}
        <code>kneadwell restore</code>.
      </p>
      <div className="doings">
        <Button isDisabled={job.running} onPress={() => job.start({ do: 'verify' })}>
          Look the book through
        </Button>
      </div>
      <JobLine here={job} what="Looking the book through" />
    </Part>
  );
}

function Bin() {
  const { data } = useQuery({
    queryKey: ['mixes', 'bin'],
    queryFn: async () =>
      (
        await client.call('listRecords', {
          query: { bin: 'true', sort: 'changed', descending: 'true', limit: 100 },
        })
      ).body,
  });
  const records = (data?.records ?? []) as unknown as readonly BookRecord[];
  const [sure, setSure] = useState(false);
  const run = async (what: string, work: () => Promise<unknown>) => {
    try {
      await work();
      await queries.invalidateQueries();
      tell({ text: what });
    } catch (fault) {
      tell({ text: wordsOf(fault) });
    }
  };
  return (
    <Part title="Bin">
      {records.length === 0 ? (
        <p className="soft">The bin is empty.</p>
      ) : (
        <>
          <ul className="history">
            {records.map((record) => (
              <li key={record.id}>
                <span>
                  {nameOfRecord(record)} <span className="soft small">{record.kind}</span>
                </span>
                <Button
                  kind="quiet"
                  onPress={() =>
                    void changeBook(`Took out of the bin: ${nameOfRecord(record)}`, [
                      { do: 'restore', id: record.id, version: record.version },
                    ]).catch((fault: unknown) => tell({ text: wordsOf(fault) }))
                  }
                >
                  Take out {nameOfRecord(record)}
                </Button>
              </li>
            ))}
          </ul>
          <div className="doings">
            <Button onPress={() => setSure(true)}>Empty the bin</Button>
          </div>
        </>
      )}
      <Sheet title="Empty the bin?" isOpen={sure} onClose={() => setSure(false)}>
        <p>
          {count(data?.total ?? 0, 'thing')} would be gone for good. It is the one thing here that
          cannot be taken back.
        </p>
        <div className="doings">
          <Button
            onPress={() => {
              setSure(false);
              void run('The bin is empty.', () => client.call('emptyBin', {}));
            }}
          >
            Empty it
          </Button>
          <Button kind="main" onPress={() => setSure(false)}>
            Leave it
          </Button>
        </div>
      </Sheet>
    </Part>
  );
}

function nameOfRecord({ id, body }: BookRecord): string {
  const code = 'code' in body ? body.code : undefined;
  const name = 'name' in body ? body.name : 'lid' in body ? body.lid : undefined;
  return [code, name].filter(Boolean).join(' ') || id;
}

const SHOWN = 30;

function History() {
  const [before, setBefore] = useState<number | undefined>();
  const { data = [] } = useQuery({
    queryKey: ['changes', before],
    queryFn: async () =>
      (
        await client.call('listChanges', {
          query: { limit: SHOWN, ...(before === undefined ? {} : { before }) },
        })
      ).body.changes as readonly JournalGroup[],
  });
  return (
    <Part title="What was done">
      <ol className="history">
        {data.map((group) => (
          <li key={group.seq}>
            <span>
              {group.what}{' '}
              <span className="soft small">
                {whenInWords(group.at)}
                {group.state === 'undone' ? ', taken back' : ''}
              </span>
            </span>
            {group.sort !== 'change' ? null : group.state === 'done' ? (
              <TakeBack group={group} />
            ) : group.state === 'undone' ? (
              <Button
                kind="quiet"
                aria-label={`Do again: ${group.what}`}
                onPress={() => void redoChange(group.seq)}
              >
                Do it again
              </Button>
            ) : null}
          </li>
        ))}
      </ol>
      <div className="doings">
        {before === undefined ? null : (
          <Button onPress={() => setBefore(undefined)}>The newest</Button>
        )}
        {data.length < SHOWN ? null : (
          <Button onPress={() => setBefore(data[data.length - 1].seq)}>Older</Button>
        )}
      </div>
    </Part>
  );
}
