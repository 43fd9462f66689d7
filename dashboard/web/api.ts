import type { ApiError } from '../server/api.js';

/** A refusal by the server, in its own words. */
export class Refused extends Error {
  readonly detail: ApiError;
  constructor(detail: ApiError) {
    super(`${detail.found}; wanted ${detail.wanted}`);
    this.detail = detail;
  }
}

/** GETs a JSON body of this server. */
export async function fetchBody<Body>(path: string, signal?: AbortSignal): Promise<Body> {
  return answer<Body>(path, signal ? { signal } : {});
}

/** POSTs a JSON body to this server and returns its answer. */
export async function postBody<Body>(path: string, body: unknown = {}): Promise<Body> {
  return answer<Body>(path, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
  });
}

/**
 * POSTs a file's bytes to this server and returns its answer. With the older kind of request, since the newer one does
 * not say how far the sending is.
 * @param onProgress share sent, 0 to 1
 */
export function postBytes<Body>(
  path: string,
  bytes: Blob,
  {
    signal,
    onProgress,
  }: { readonly signal?: AbortSignal; readonly onProgress?: (share: number) => void } = {},
): Promise<Body> {
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    request.open('POST', path);
    request.setRequestHeader('content-type', 'application/octet-stream');
    request.upload.onprogress = ({ loaded, total }) => onProgress?.(total > 0 ? loaded / total : 0);
    request.onerror = () => reject(unreachable());
    request.onabort = () => reject(new DOMException('called off', 'AbortError'));
    request.onload = () => {
      const body = (request.responseText === '' ? null : JSON.parse(request.responseText)) as Body;
      if (request.status < 400) resolve(body);
      else reject(new Refused(body as ApiError));
    };
    signal?.addEventListener('abort', () => request.abort(), { once: true });
    request.send(bytes);
  });
}

const unreachable = () =>
  new Refused({
    code: 'unreachable',
    found: 'no answer from dashpot-bench',
    wanted: 'the program still running in its terminal',
    where: location.host,
  });

async function answer<Body>(path: string, init: RequestInit): Promise<Body> {
  let response: Response;
  try {
    response = await fetch(path, init);
  } catch (cause) {
    if (cause instanceof DOMException && cause.name === 'AbortError') throw cause;
    throw unreachable();
  }
  const text = await response.text();
  const body = (text === '' ? null : JSON.parse(text)) as Body;
  if (!response.ok) throw new Refused(body as ApiError);
  return body;
}

/** What to show for anything thrown; null for a request that was called off. */
export function troubleOf(thrown: unknown): ApiError | null {
  if (thrown instanceof Refused) return thrown.detail;
  if (thrown instanceof DOMException && thrown.name === 'AbortError') return null;
  return {
    code: 'fault',
    found: String(thrown),
    wanted: 'a page without faults; please reload it',
    where: 'this page',
  };
}
