import { beforeEach, describe, expect, it } from 'vitest';
import type { Outage } from '../../server/ports.ts';
import { OutageKeeper } from '../../server/runtime/outage-keeper.ts';
import { silentLog } from '../support/silent-log.ts';

const T0 = 1_760_000_000_000;
const lost: Outage = { kind: 'broker-lost', fromMs: T0, toMs: T0 + 5_000, detail: 'gone' };

describe('outages', () => {
  let written: Outage[];
  let isFull: boolean;
  let keeper: OutageKeeper;
  beforeEach(() => {
    written = [];
    isFull = false;
    const add = (outage: Outage): void => {
      if (isFull) throw new Error('database or disk is full');
      written.push(outage);
    };
    keeper = new OutageKeeper({ add, between: () => written }, silentLog);
  });

  it('that happen while nothing can be written are written down afterwards, in order', () => {
    isFull = true;
    keeper.add(lost);
    keeper.add({ ...lost, kind: 'session-lost' });
    expect(written).toEqual([]);
    isFull = false;
    keeper.beat(T0 + 10_000, true);
    expect(written.map(({ kind }) => kind)).toEqual(['broker-lost', 'session-lost']);
  });

  it('of the store itself last from the first failure until it stores again', () => {
    keeper.beat(T0, false);
    keeper.beat(T0 + 1_000, false);
    expect(written).toEqual([]);
    keeper.beat(T0 + 2_000, true);
    expect(written).toMatchObject([{ kind: 'store-failed', fromMs: T0, toMs: T0 + 2_000 }]);
  });

  it('that last until the server ends are in the record', () => {
    keeper.beat(T0, false);
    keeper.end(T0 + 3_000);
    expect(written).toMatchObject([{ kind: 'store-failed', fromMs: T0, toMs: T0 + 3_000 }]);
  });
});
