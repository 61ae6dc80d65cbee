// Who may talk to this service at all. Any web page can post to a loopback port, so the Host and the Origin of every
// request are checked from the first day.
import { isIP } from 'node:net';
import type { RequestHandler } from 'express';
import { sendRefusal } from './send.ts';

function hostnameOf(host: string): string | null {
  if (!/^[A-Za-z0-9.\-[\]:]+$/.test(host) || !URL.canParse(`http://${host}/`)) return null;
  return new URL(`http://${host}/`).hostname.replace(/^\[|\]$/g, '').toLowerCase();
}

/** An address in digits cannot be made to point here by somebody's name server; a name can, so only ours are taken. */
function isOurs(hostname: string, ownNames: readonly string[]): boolean {
  return isIP(hostname) !== 0 || hostname === 'localhost' || ownNames.includes(hostname);
}

/** Refuses requests to a foreign name and requests that another site's page sent. */
export function guardOrigin(ownNames: readonly string[]): RequestHandler {
  // The last one that was taken: nearly every request names the same.
  let taken = '';
  return (req, res, next) => {
    const { host = '', origin } = req.headers;
    if (host !== taken || host === '') {
      const hostname = hostnameOf(host);
      if (hostname === null || !isOurs(hostname, ownNames)) return sendRefusal(res, { kind: 'foreign-host' });
      taken = host;
    }
    const isOwn = origin === undefined || origin === `http://${host}` || origin === `https://${host}`;
    if (!isOwn) return sendRefusal(res, { kind: 'foreign-origin' });
    next();
  };
}
