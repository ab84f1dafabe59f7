import { z } from 'zod';
import { idSchema, line, moment } from '../domain/records/pieces.ts';
import type { ApiRoutes } from './route.ts';

export const deviceSchema = z
  .object({
    id: idSchema,
    name: z.string(),
    pairedAt: moment,
    /** To the hour. */
    lastSeenAt: moment,
  })
  .meta({ id: 'Device' });
export type Device = z.output<typeof deviceSchema>;

const networkSchema = z
  .object({
    on: z.boolean(),
    /** Where paired devices find it; empty while it is off or no network is there. */
    urls: z.array(z.string()),
    /** Over plain http a page cannot work offline or keep the screen awake. */
    secure: z.boolean(),
  })
  .meta({ id: 'Network' });

export const ACCESS_ROUTES = {
  health: {
    says: 'Whether it is there, and of which version',
    who: 'anyone',
    answer: z.object({
      status: z.literal('ok'),
      version: z.string(),
      /** Whether search has read the book yet. */
      search: z.enum(['reading', 'ready']),
    }),
  },
  network: {
    says: 'Whether the home network may come in, and where',
    who: 'paired',
    answer: networkSchema,
  },
  setNetwork: {
    says: 'Lets the home network in, or shuts it out',
    who: 'owner',
    body: z.strictObject({ on: z.boolean() }),
    answer: networkSchema,
  },
  startPairing: {
    says: 'A short code with which one device may be paired; the code before is void',
    who: 'owner',
    answer: z.object({
      code: z.string(),
      expiresAt: moment,
      /** Where the device goes; the code stands behind the #, which is never sent. */
      urls: z.array(z.string()),
      /** The first of them as a QR code. */
      qrSvg: z.string().exactOptional(),
    }),
    status: 201,
  },
  stopPairing: {
    says: 'Makes the code void',
    who: 'owner',
    answer: 'nothing',
    status: 204,
  },
  pair: {
    says: 'Pairs this device by the code the owner sees',
    who: 'anyone',
    body: z.strictObject({
      code: z.string().min(1).max(40),
      name: line(100),
      /** `page`: the token is set as a cookie no script can read; `program`: it is in the answer. */
      as: z.enum(['page', 'program']).default('page'),
    }),
    answer: z.object({ device: deviceSchema, token: z.string().exactOptional() }),
    status: 201,
  },
  listDevices: {
    says: 'Paired devices',
    who: 'owner',
    answer: z.object({ devices: z.array(deviceSchema) }),
  },
  thisDevice: {
    says: 'Who is asking',
    who: 'paired',
    answer: z.object({ owner: z.boolean(), device: deviceSchema.exactOptional() }),
  },
  revokeDevice: {
    says: 'Takes the leave to come in from a device; a device may do so for itself alone',
    who: 'paired',
    params: z.strictObject({ id: idSchema }),
    answer: 'nothing',
    status: 204,
  },
} as const satisfies Partial<ApiRoutes>;
