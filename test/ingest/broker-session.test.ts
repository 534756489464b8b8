import { describe, expect, it } from 'vitest';
import { BrokerSession } from '../../server/ingest/broker-session.ts';
import type { Outage } from '../../server/ports.ts';
import { silentLog } from '../support/silent-log.ts';

const START_MS = 1_760_000_000_000;
const THERE = { sessionPresent: true, hadRival: false };
const FORGOTTEN = { sessionPresent: false, hadRival: false };

/** A server that may be started again on the same memory. */
function aServer({ url = 'mqtt://broker', kept = null as string | null, breaks = false } = {}) {
  const world = { nowMs: START_MS, kept, outages: [] as Outage[] };
  const start = (at = url) =>
    new BrokerSession({
      url: at,
      memory: {
        read: () => world.kept,
        write: (text) => {
          if (breaks) throw new Error('disk full');
          world.kept = text;
        },
      },
      clock: { nowMs: () => world.nowMs, speed: 1 },
      log: silentLog,
      onOutage: (outage) => world.outages.push(outage),
    });
  return { world, start };
}

describe('the session at the broker', () => {
  it('is nothing that could be lost on the very first connection', () => {
    const { world, start } = aServer();
    start().connected(FORGOTTEN);
    expect(world.outages).toEqual([]);
  });

  it('is lost when the broker does not know us although we had subscribed: a gap from the last moment connected', () => {
    const { world, start } = aServer();
    const session = start();
    session.connected(FORGOTTEN);
    session.subscribed(['a/#']);
    world.nowMs += 10_000;
    session.missing({ isUnreachable: false });
    world.nowMs += 4_000;
    session.connected(FORGOTTEN);
    expect(world.outages).toMatchObject([
      { kind: 'session-lost', fromMs: START_MS + 10_000, toMs: START_MS + 14_000 },
    ]);
    expect(session.filters).toEqual([]);
  });

  it('is lost over a restart of the server in the same way', () => {
    const { world, start } = aServer();
    const before = start();
    before.connected(FORGOTTEN);
    before.subscribed(['a/#']);
    world.nowMs += 5_000;
    before.stop();
    world.nowMs += 86_400_000;
    start().connected(FORGOTTEN);
    expect(world.outages).toMatchObject([
      { kind: 'session-lost', fromMs: START_MS + 5_000, toMs: START_MS + 86_405_000 },
    ]);
  });

  it('is kept while the server is down: no gap, and the filters that it holds are known', () => {
    const { world, start } = aServer();
    const before = start();
    before.connected(FORGOTTEN);
    before.subscribed(['a/#', 'b']);
    before.stop();
    world.nowMs += 60_000;
    const after = start();
    after.connected(THERE);
    expect(world.outages).toEqual([]);
    expect(after.filters).toEqual(['a/#', 'b']);
  });

  it('has a gap when the broker could not be reached, from the moment that the connection went', () => {
    const { world, start } = aServer();
    const session = start();
    session.connected(FORGOTTEN);
    session.subscribed(['a/#']);
    world.nowMs += 10_000;
    session.missing({ isUnreachable: false });
    world.nowMs += 1_000;
    session.missing({ isUnreachable: true });
    world.nowMs += 1_000;
    session.missing({ isUnreachable: true });
    world.nowMs += 1_000;
    session.connected(THERE);
    expect(world.outages).toMatchObject([
      { kind: 'broker-lost', fromMs: START_MS + 10_000, toMs: START_MS + 13_000 },
    ]);
  });

  it('has no gap when the connection only had to be made again', () => {
    const { world, start } = aServer();
    const session = start();
    session.connected(FORGOTTEN);
    session.subscribed(['a/#']);
    session.missing({ isUnreachable: false });
    session.connected(THERE);
    expect(world.outages).toEqual([]);
  });

  it('does not blame the broker for the time in which the server was not running', () => {
    const { world, start } = aServer();
    const before = start();
    before.connected(FORGOTTEN);
    before.subscribed(['a/#']);
    before.stop();
    world.nowMs += 3_600_000;
    const after = start();
    after.missing({ isUnreachable: true });
    world.nowMs += 2_000;
    after.stop();
    expect(world.outages).toMatchObject([
      { kind: 'broker-lost', fromMs: START_MS + 3_600_000, toMs: START_MS + 3_602_000 },
    ]);
  });

  it('has a gap when another program with the same client id had it', () => {
    const { world, start } = aServer();
    const session = start();
    session.connected(FORGOTTEN);
    session.subscribed(['a/#']);
    session.missing({ isUnreachable: false });
    world.nowMs += 60_000;
    session.connected({ sessionPresent: true, hadRival: true });
    expect(world.outages).toMatchObject([
      { kind: 'session-lost', fromMs: START_MS, toMs: START_MS + 60_000 },
    ]);
  });

  it('of one broker says nothing of another', () => {
    const { world, start } = aServer();
    const before = start('mqtt://old');
    before.connected(FORGOTTEN);
    before.subscribed(['a/#']);
    before.stop();
    start('mqtt://new').connected(FORGOTTEN);
    expect(world.outages).toEqual([]);
  });

  it('goes on when its note cannot be written or read', () => {
    const { world, start } = aServer({ kept: '{"url":', breaks: true });
    const session = start();
    session.connected(FORGOTTEN);
    session.subscribed(['a/#']);
    world.nowMs += 1_000;
    session.missing({ isUnreachable: false });
    session.connected(FORGOTTEN);
    expect(world.outages).toMatchObject([{ kind: 'session-lost', toMs: START_MS + 1_000 }]);
  });
});
