import { int32, oneOf, oneOfNames, text, uint8, uint16, uint32 } from './fields.js';
import * as frames from './frames.js';
import { commandWords } from './host-lines.js';
import { type LineForm, lineForm } from './line-form.js';

const name = text(/^[A-Za-z0-9 ._/-]{1,32}$/);
const sample = { sequence: uint16, deviceTime_us: uint32, counts: int32 };

/** Every line a device sends. New fields go at the end of a layout; readers ignore what follows the last they know. */
export const deviceLines: readonly LineForm[] = [
  lineForm<frames.IdentityFrame, 'type'>(
    'I',
    { type: 'identity' },
    {
      sequence: uint16,
      protocolVersion: uint16,
      firmware: name,
      rigName: name,
      channelCount: uint8,
      drive: oneOfNames(frames.DRIVE_KINDS),
    },
  ),
  lineForm<frames.ChannelFrame, 'type'>(
    'C',
    { type: 'channel' },
    {
      sequence: uint16,
      kind: oneOfNames(frames.CHANNEL_KINDS),
      unit: oneOfNames(frames.CHANNEL_UNITS),
      counts_min: int32,
      counts_max: int32,
      rate_mHz: uint32,
      delay_us: int32,
      kernel: oneOfNames(frames.CHANNEL_KERNELS),
    },
  ),
  lineForm<frames.DriveFrame, 'type'>(
    'V',
    { type: 'drive' },
    { sequence: uint16, speedMin_mHz: uint32, speedMax_mHz: uint32, lease_ms: uint32 },
  ),
  lineForm<frames.SampleFrame, 'type' | 'kind'>('F', { type: 'sample', kind: 'force' }, sample),
  lineForm<frames.SampleFrame, 'type' | 'kind'>('P', { type: 'sample', kind: 'position' }, sample),
  lineForm<frames.SampleFrame, 'type' | 'kind'>('T', { type: 'sample', kind: 'temperature' }, sample),
  lineForm<frames.EventFrame, 'type'>(
    'E',
    { type: 'event' },
    { sequence: uint16, deviceTime_us: uint32, event: oneOfNames(frames.EVENT_NAMES), value: int32 },
  ),
  lineForm<frames.ReplyFrame, 'type' | 'fields'>(
    'A',
    { type: 'reply', fields: [] },
    { sequence: uint16, command: oneOf(commandWords), tag: uint8 },
    'fields',
  ),
  lineForm<frames.RefusalFrame, 'type'>(
    'N',
    { type: 'refusal' },
    {
      sequence: uint16,
      command: oneOf([...commandWords, ['unreadable', '?'] as const]),
      tag: uint8,
      code: oneOfNames(frames.REFUSAL_CODES),
    },
  ),
];
