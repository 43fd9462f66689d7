/** The local server: `createServer({ logbook, version })`, then `listen`. */
export { createServer, type ServerOptions } from './create-server.js';
export { listen, USUAL_PORT } from './listen.js';
export { ownHomeAddresses } from './network/origin-of-request.js';
export { NETWORK_CAUTION } from './network/pair-page.js';
