import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { wordsOf } from '../../book/change.ts';
import { client } from '../../book/client.ts';
import { showNotice } from '../../book/notice.ts';
import { queries } from '../../book/queries.ts';
import { whenInWords } from '../../book/when-in-words.ts';
import { Button } from '../../parts/button.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { Part } from '../../parts/field.tsx';
import { useOwner } from './use-owner.ts';

/** Devices of the home network that may open the book. */
export function Devices() {
  const owner = useOwner();
  const { data: network } = useQuery({
    queryKey: ['devices', 'network'],
    queryFn: async () => (await client.call('network', {})).body,
  });
  const { data: devices = [] } = useQuery({
    queryKey: ['devices', 'list'],
    queryFn: async () => (await client.call('listDevices', {})).body.devices,
    enabled: owner === true,
  });
  const [pairing, setPairing] = useState<
    { code: string; qrSvg?: string; urls: readonly string[] } | undefined
  >();
  const run = async (work: () => Promise<unknown>) => {
    try {
      await work();
      await queries.invalidateQueries({ queryKey: ['devices'] });
    } catch (fault) {
      showNotice({ text: wordsOf(fault) });
    }
  };
  return (
    <Part title="Phones and tablets">
      <p>
        {network?.on === true
          ? `Paired devices open the book at ${network.urls.join(' or ') || 'this computer'}.`
          : 'Only this computer can open the book. Allow the home network to use a phone or tablet.'}
        {network?.on === true && !network.secure
          ? ' Over plain http a phone cannot keep its screen on or work offline.'
          : ''}
      </p>
      {owner ? (
        <div className="actions">
          <Button
            onPress={() =>
              run(() => client.call('setNetwork', { body: { on: network?.on !== true } }))
            }
          >
            {network?.on === true ? 'Block home network' : 'Allow home network'}
          </Button>
          {network?.on === true ? (
            <Button
              onPress={() =>
                run(async () => setPairing((await client.call('startPairing', {})).body as never))
              }
            >
              Pair a device
            </Button>
          ) : null}
        </div>
      ) : (
        <p className="soft">Pair devices on the computer that has the book.</p>
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
                  run(() => client.call('revokeDevice', { params: { id: device.id } }))
                }
              >
                Remove {device.name}
              </Button>
            </li>
          ))}
        </ul>
      )}
      <Dialog
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
      </Dialog>
    </Part>
  );
}
