/** The local server: `createServer({ logbook, version })`, then `listen`. */
export { createServer, type ServerOptions } from './create-server.js';
export { listen, USUAL_PORT } from './listen.js';
