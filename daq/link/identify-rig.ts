import {
  type ChannelFrame,
  type DeviceFrame,
  type DriveFrame,
  encodeHostLine,
  type IdentityFrame,
  PROTOCOL_VERSION,
} from '../../firmware-protocol/index.js';
import { DaqError } from '../daq-error.js';
import type { HostClock } from '../host-clock.js';
import type { OpenPort } from '../ports/open-port.js';
import type { FrameIntake } from './frame-intake.js';
import type { RigIdentity } from './rig-identity.js';

const ASK_EVERY_MS = 250;
const GIVE_UP_AFTER_MS = 3000;
/** Any tag will do, since all the questions are the same. */
const TAG = 1;

/**
 * Finds out what is at the other end, through the noise of a boot loader and a reset on opening: asks every
 * 250 ms for 3 s, each time after a newline that ends whatever the device's receiver holds.
 * @throws DaqError 'rig-silent' (nothing came), 'rig-unreadable' (bytes, but no sound line: another baud rate or
 *   program), 'rig-foreign' (lines of text, but not of the protocol), 'rig-unidentified' (sound lines, but no whole identity), 'rig-version', 'port-failed'
 */
export function identifyRig(port: OpenPort, intake: FrameIntake, clock: HostClock): Promise<RigIdentity> {
  return new Promise((resolve, reject) => {
    const bytesBefore = intake.bytesReceived();
    const textBefore = intake.linesOfText();
    let framesHeard = 0;
    let answer: Answer | null = null;

    const stopListening = intake.listen((frame) => {
      framesHeard++;
      if (frame.type === 'identity' && frame.protocolVersion !== PROTOCOL_VERSION)
        end(() => reject(wrongVersion(port.path, frame)));
      answer = heardAlso(answer, frame);
      const isLast = frame.type === 'reply' && frame.command === 'identify' && frame.tag === TAG;
      const identity = isLast && answer && whole(answer);
      if (identity) end(() => resolve(identity));
    });
    const ask = () => {
      port.write(Buffer.concat([Buffer.from('\n'), encodeHostLine({ type: 'identify', tag: TAG })]));
      cancelAsk = clock.after(ASK_EVERY_MS, ask);
    };
    const cancelGiveUp = clock.after(GIVE_UP_AFTER_MS, () =>
      end(() =>
        reject(
          notIdentified(
            port.path,
            intake.bytesReceived() - bytesBefore,
            intake.linesOfText() - textBefore,
            framesHeard,
          ),
        ),
      ),
    );
    const closed = () => end(() => reject(portGone(port.path)));
    port.once('close', closed);
    let cancelAsk = () => {};
    ask();

    function end(settle: () => void): void {
      stopListening();
      cancelAsk();
      cancelGiveUp();
      port.off('close', closed);
      settle();
    }
  });
}

interface Answer {
  identity: IdentityFrame;
  channels: ChannelFrame[];
  drive: DriveFrame | null;
}

/** An identity begins an answer anew; what comes before one belongs to an answer whose beginning was lost. */
function heardAlso(answer: Answer | null, frame: DeviceFrame): Answer | null {
  if (frame.type === 'identity') return { identity: frame, channels: [], drive: null };
  if (answer && frame.type === 'channel') answer.channels.push(frame);
  if (answer && frame.type === 'drive') answer.drive = frame;
  return answer;
}

/** The identity, unless lines of it were lost; the next question brings them again. */
function whole({ identity, channels, drive }: Answer): RigIdentity | null {
  const kinds = new Set(channels.map(({ kind }) => kind));
  if (channels.length !== identity.channelCount || kinds.size !== channels.length) return null;
  if ((identity.drive === 'speed') !== (drive !== null)) return null;
  return {
    protocolVersion: identity.protocolVersion,
    firmware: identity.firmware,
    rigName: identity.rigName,
    channels: channels.map(({ type: _type, sequence: _sequence, ...channel }) => channel),
    drive: drive && {
      speedMin_mHz: drive.speedMin_mHz,
      speedMax_mHz: drive.speedMax_mHz,
      lease_ms: drive.lease_ms,
    },
  };
}

function wrongVersion(where: string, { protocolVersion, firmware }: IdentityFrame): DaqError {
  return new DaqError('rig-version', {
    where,
    found: `firmware '${firmware}', which speaks protocol version ${protocolVersion}`,
    wanted: `version ${PROTOCOL_VERSION}; update the older of the two`,
  });
}

/** Lines of another program's text that are no accident of a wrong baud rate. */
const TEXT_LINES = 3;

function notIdentified(where: string, bytes: number, textLines: number, frames: number): DaqError {
  const wait = `in ${GIVE_UP_AFTER_MS / 1000} s`;
  if (bytes === 0)
    return new DaqError('rig-silent', {
      where,
      found: `nothing ${wait}`,
      wanted: 'a rig that answers; is it powered, and does its firmware run?',
    });
  if (frames === 0 && textLines >= TEXT_LINES)
    return new DaqError('rig-foreign', {
      where,
      found: `${textLines} lines of text ${wait}, none of them a rig's`,
      wanted: 'the firmware of this program; lines of plain numbers are taken with --plain',
    });
  if (frames === 0)
    return new DaqError('rig-unreadable', {
      where,
      found: `${bytes} bytes ${wait}, no line of them sound`,
      wanted: 'a rig; another baud rate or another firmware is likely',
    });
  return new DaqError('rig-unidentified', {
    where,
    found: `${frames} sound lines ${wait}, but no whole identity`,
    wanted: 'a rig that tells what it is; lines are being lost',
  });
}

export function portGone(where: string): DaqError {
  return new DaqError('port-failed', {
    where,
    found: 'the port closed',
    wanted: 'a connection that lasts; did the cable come loose?',
  });
}
