import type { FastifyInstance, FastifyReply } from 'fastify';
import * as z from 'zod';
import type { ApiError } from '../api.js';
import type { requestError } from '../errors.js';
import { type Pairing, SECRET_GOOD_FOR_MS } from './pairing.js';

/** Where somebody who comes over the network tells the code. */
export const PAIR_PATH = '/pair';
const COOKIE = 'dashpot_bench';

/** The secret that a browser brings back. */
export function secretIn(cookies: string | undefined): string | undefined {
  return new RegExp(`(?:^|;\\s*)${COOKIE}=([\\w-]{43})(?:;|$)`).exec(cookies ?? '')?.[1];
}

const pairBody = z.object({ code: z.string('a code').trim().min(1, 'the code').max(40, 'the code') });

/** The page that asks for the code: plain HTML, since whoever sees it may not have anything else yet. */
export function pairRoutes(server: FastifyInstance, pairing: Pairing): void {
  server.register(async (scope) => {
    // This one form is a form, so that it needs no script.
    scope.addContentTypeParser(
      'application/x-www-form-urlencoded',
      { parseAs: 'string' },
      (_request, text, done) => done(null, Object.fromEntries(new URLSearchParams(String(text)))),
    );
    scope.get(PAIR_PATH, (_request, reply) => {
      pairing.invite();
      return sendPage(reply, null);
    });
    scope.post(PAIR_PATH, { schema: { body: pairBody } }, (request, reply) => {
      try {
        const secret = pairing.redeem((request.body as z.output<typeof pairBody>).code);
        const maxAge_s = SECRET_GOOD_FOR_MS / 1000;
        return reply
          .header('set-cookie', `${COOKIE}=${secret}; HttpOnly; SameSite=Strict; Path=/; Max-Age=${maxAge_s}`)
          .redirect('/', 303);
      } catch (error) {
        if (!('statusCode' in (error as object))) throw error;
        const { statusCode, ...detail } = error as ReturnType<typeof requestError>;
        pairing.invite();
        return sendPage(reply.code(statusCode), detail);
      }
    });
  });
}

const sendPage = (reply: FastifyReply, trouble: Pick<ApiError, 'found' | 'wanted'> | null) =>
  reply
    .type('text/html; charset=utf-8')
    .header('cache-control', 'no-store')
    .serializer((html: unknown) => String(html))
    .send(page(trouble));

/** Everything said here is this program's own; nothing that was typed comes back. */
const page = (trouble: Pick<ApiError, 'found' | 'wanted'> | null) => `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>Code · dashpot-bench</title>
<style>
body { font: 1.0625rem/1.5 system-ui, sans-serif; max-width: 34rem; margin: 2rem auto; padding: 0 1rem; }
input, button { font: inherit; min-height: 2.75rem; padding: 0 0.75rem; }
input { width: 9rem; text-transform: uppercase; letter-spacing: 0.15em; }
</style>
</head>
<body>
<main>
<h1>Which code does the machine at the rig show?</h1>
${trouble ? `<p role="alert">Found ${trouble.found}; wanted ${trouble.wanted}.</p>` : ''}
<form method="post" action="${PAIR_PATH}">
<p><label for="code">Code, six letters and digits</label></p>
<p><input id="code" name="code" autocomplete="off" autocapitalize="characters" spellcheck="false" maxlength="12" required autofocus>
<button>Look at the logbook</button></p>
</form>
<p>It stands in the window in which dashpot-bench was started. From here the logbook can be looked at and a recording
stopped; only the machine at the rig can start one.</p>
<p>${NETWORK_CAUTION}</p>
</main>
</body>
</html>
`;

/** Said wherever the page is served over a network. */
export const NETWORK_CAUTION =
  'What goes over the network is not encrypted: use this in your own home network only, never in a public one.';
