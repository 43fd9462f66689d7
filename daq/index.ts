export { describeRecording, exportBundle } from './bundle/export-bundle.js';
export { exportLogbook } from './bundle/export-logbook.js';
export { type Bundle, importBundle, readBundle } from './bundle/import-bundle.js';
export { type ExportedRecording, logbookFiles } from './bundle/logbook-files.js';
export { zipOf } from './bundle/zip.js';
export * from './calibrating/calibrate.js';
export * from './calibrating/care-runs.js';
export { type FoundAtRig, guideSetup } from './calibrating/first-setup.js';
export type { GuidedStep, Operator } from './calibrating/known-values.js';
export type {
  CrankEvidence,
  ForceEvidence,
  FoundPart,
  LagEvidence,
  LengthEvidence,
  MovingMassEvidence,
} from './calibrating/parts-from-fits.js';
export * from './calibrating/readings-csv.js';
export { type SteadyReading, steadyReading } from './calibrating/steady-reading.js';
export * from './calibration.js';
export { type CheckRigOptions, checkRig, type RigCheckReport } from './conformance/check-rig.js';
export type { RigCheck, RigCheckCode } from './conformance/rig-check.js';
export { unitsOf } from './csv/csv-units.js';
export type { ColumnGuess, ColumnReason } from './csv/guess-columns.js';
export { type CsvGuess, guessCsv } from './csv/guess-csv.js';
export type { CsvHeader } from './csv/numeric-csv.js';
export { type CsvReading, readStatedCsv, TRACE_QUANTITIES, type TraceQuantity } from './csv/stated-csv.js';
export { isTargetCsv, readTargetCsv, type TargetCurve } from './csv/target-csv.js';
export { readTraceCsv } from './csv/trace-csv.js';
export { traceCsv, writeTraceCsv } from './csv/write-trace-csv.js';
export * from './daq-error.js';
export { MOST_PHOTO_BYTES } from './files/photo-form.js';
export type { Piston } from './files/piston-file.js';
export { readPiston, readShelf, shelfPart } from './files/read-parts.js';
export type { FileSource } from './files/read-source.js';
export type { Shelf } from './files/shelf-file.js';
export * from './host-clock.js';
export type { LinkStatistics } from './link/link-statistics.js';
export { type PlainForm, parsePlainForm } from './link/plain-line.js';
export { openPlainLink, type PlainLinkOptions } from './link/plain-link.js';
export { MAY_COME_BACK, reopenRigLink } from './link/reopen-rig-link.js';
export * from './link/rig-identity.js';
export { type LinkListener, openRigLink, type RigLink, type RigLinkOptions } from './link/rig-link.js';
export { backupLogbook, restoreLogbook } from './logbook/backup-logbook.js';
export type { BinItem, BinnedKind } from './logbook/bin.js';
export {
  BUILD_PARTS,
  type BuildPart,
  type FittedPart,
  type PartChange,
} from './logbook/build-parts.js';
export type * from './logbook/calibration-parts.js';
export { checkLogbook, type LogbookCheck } from './logbook/check-logbook.js';
export type { Edit, EditAction, EditedValue, EditsAtHand } from './logbook/edits.js';
export type * from './logbook/entities.js';
export { importedChannels } from './logbook/imported-channels.js';
export { type Logbook, type LogbookOptions, openLogbook } from './logbook/open-logbook.js';
export type { Photo, PhotoId } from './logbook/photos.js';
export type * from './logbook/results-and-checks.js';
export type * from './logbook/rig-profiles.js';
export type { ShelfItem, ShelfKind, ShelfParts } from './logbook/shelf.js';
export { listPorts, type PortListing } from './ports/list-ports.js';
export { DEFAULT_BAUD, type OpenPort, openPort, type PortOptions } from './ports/open-port.js';
export type { PortBinding } from './ports/port-binding.js';
export { portAccess } from './ports/port-failure.js';
export * from './procedures.js';
export type { LiveSamples } from './recording/live-samples.js';
export { type DriveLimits, driveLimitsOf, noLimits } from './recording/load-watch.js';
export {
  type RecordBuildOptions,
  type RecordingOutcome,
  type RecordingProgress,
  recordBuild,
} from './recording/record-build.js';
export * from './rig-profile.js';
