export * from './calibration.js';
export type { CsvSource } from './csv/csv-form.js';
export type { CsvHeader } from './csv/numeric-csv.js';
export { readTargetCsv, type TargetCurve } from './csv/target-csv.js';
export { readTraceCsv } from './csv/trace-csv.js';
export * from './daq-error.js';
export * from './host-clock.js';
export type { LinkStatistics } from './link/link-statistics.js';
export * from './link/rig-identity.js';
export { type LinkListener, openRigLink, type RigLink, type RigLinkOptions } from './link/rig-link.js';
export type * from './logbook/entities.js';
export { type Logbook, type LogbookOptions, openLogbook } from './logbook/open-logbook.js';
export { listPorts, type PortListing } from './ports/list-ports.js';
export { DEFAULT_BAUD, type OpenPort, openPort, type PortOptions } from './ports/open-port.js';
export type { PortBinding } from './ports/port-binding.js';
export * from './procedures.js';
export type { LiveSamples } from './recording/live-samples.js';
export {
  type RecordBuildOptions,
  type RecordingOutcome,
  type RecordingProgress,
  recordBuild,
} from './recording/record-build.js';
