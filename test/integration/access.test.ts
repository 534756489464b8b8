import { io } from 'socket.io-client';
import { describe, expect, it } from 'vitest';
import type { Access, Problem } from '../../server/contract/api.ts';
import { call, post } from '../support/http.ts';
import { refusedStart, runServer } from '../support/run-server.ts';
import { tempDir } from '../support/temp-dir.ts';

const PASSPHRASE = 'larch lane supper';
const BEYOND = {
  TONGSIDE_BIND: '0.0.0.0',
  TONGSIDE_BROKER_USER: 'probe',
  TONGSIDE_BROKER_PASSWORD: 'a probe secret',
};

function here(httpUrl: string): string {
  return `http://127.0.0.1:${new URL(httpUrl).port}`;
}

/** Whether a socket is let in: true on the first board, false when it is refused. */
function mayWatch(url: string, extraHeaders: Record<string, string>): Promise<boolean> {
  return new Promise((resolve) => {
    const socket = io(url, { transports: ['websocket'], extraHeaders, reconnection: false, forceNew: true });
    const end = (isIn: boolean): void => {
      socket.close();
      resolve(isIn);
    };
    socket.once('board', () => end(true));
    socket.once('connect_error', () => end(false));
  });
}

describe('reach', () => {
  it('is refused beyond this machine until a passphrase is set, and says how to set one', async () => {
    const { code, said } = await refusedStart({ TONGSIDE_DATA_DIR: tempDir(), ...BEYOND });
    expect(code).toBe(2);
    expect(said).toContain('passphrase');
  });

  it('is refused with every wrong setting named', async () => {
    const { code, said } = await refusedStart({
      TONGSIDE_HTTP_PORT: 'eighty',
      TONGSIDE_BROKER_URL: 'nowhere',
    });
    expect(code).toBe(2);
    expect(said).toContain('TONGSIDE_HTTP_PORT');
    expect(said).toContain('TONGSIDE_BROKER_URL');
  });

  it('asks every browser for the passphrase beyond this machine, and only then shows anything', async () => {
    const env = { TONGSIDE_DATA_DIR: tempDir() };
    const first = await runServer(env);
    expect(
      (await post<Problem>(`${first.httpUrl}/api/access/passphrase`, { passphrase: 'short' })).body
        .errors?.[0]?.field,
    ).toBe('passphrase');
    expect((await post(`${first.httpUrl}/api/access/passphrase`, { passphrase: PASSPHRASE })).status).toBe(
      200,
    );
    await first.stop();

    const server = await runServer({ ...env, ...BEYOND });
    const url = here(server.httpUrl);
    expect((await call<Access>(`${url}/api/access`)).body).toEqual({
      open: false,
      passphraseSet: true,
      loopbackOnly: false,
      mqttUrl: null,
    });
    for (const path of ['/api/board', '/api/sensors', '/api/cookouts', '/metrics']) {
      expect((await call(url + path)).status, path).toBe(401);
    }
    expect(await mayWatch(url, {})).toBe(false);

    expect((await post(`${url}/api/access/login`, { passphrase: 'larch lane breakfast' })).status).toBe(403);
    const login = await post(`${url}/api/access/login`, { passphrase: PASSPHRASE });
    const setCookie = login.headers.get('set-cookie') ?? '';
    expect(setCookie).toMatch(/HttpOnly/);
    expect(setCookie).toMatch(/SameSite=Strict/);
    const cookie = setCookie.split(';')[0] ?? '';
    expect((await call(`${url}/api/board`, { cookie })).status).toBe(200);
    expect(await mayWatch(url, { Cookie: cookie })).toBe(true);
    const forged = cookie.replace(/\.(.)/, (_, c: string) => `.${c === 'A' ? 'B' : 'A'}`);
    expect((await call(`${url}/api/board`, { cookie: forged })).status).toBe(401);
  });

  it('lets nobody guess quickly', async () => {
    const server = await runServer({ TONGSIDE_DATA_DIR: tempDir() });
    const tries = await Promise.all(
      Array.from({ length: 12 }, () => post(`${server.httpUrl}/api/access/login`, { passphrase: 'guess' })),
    );
    expect(tries.map((t) => t.status)).toContain(429);
  });

  it('refuses a page of another origin and a name that is not this server', async () => {
    const server = await runServer({ TONGSIDE_DATA_DIR: tempDir() });
    const origin = 'http://elsewhere.example';
    const answer = await fetch(`${server.httpUrl}/api/board`, { headers: { Origin: origin } });
    expect(answer.status).toBe(403);
    expect(await mayWatch(server.httpUrl, { Origin: origin })).toBe(false);
    expect(await mayWatch(server.httpUrl, { Host: 'rebound.example' })).toBe(false);
    expect(await mayWatch(server.httpUrl, {})).toBe(true);
  });
});
