export { crc16Ibm3740 } from './checksum.js';
export { decodeDeviceLine } from './decode-device-line.js';
export { decodeHostLine } from './decode-host-line.js';
export { encodeDeviceLine } from './encode-device-line.js';
export { encodeHostLine } from './encode-host-line.js';
export { sealLine } from './envelope.js';
export * from './frames.js';
export { type LineListener, LineSplitter } from './line-splitter.js';
export { ProtocolError, type ProtocolErrorCode } from './protocol-error.js';
