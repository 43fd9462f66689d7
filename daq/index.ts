export * from './calibration.js';
export * from './daq-error.js';
export * from './host-clock.js';
export type { LinkStatistics } from './link/link-statistics.js';
export * from './link/rig-identity.js';
export type * from './logbook/entities.js';
export { type Logbook, type LogbookOptions, openLogbook } from './logbook/open-logbook.js';
export type { PortBinding } from './ports/port-binding.js';
export * from './procedures.js';
