import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import express from 'express';
import { afterEach, describe, expect, it } from 'vitest';
import { sensorRoutes } from '../../server/api/routes/sensors.ts';
import { ProbeDesk } from '../../server/runtime/probe-desk.ts';
import { problemHandler } from '../../server/api/problem.ts';
import type { Problem } from '../../server/contract/api.ts';
import {
  CheckAnswerSchema,
  CorrectionSchema,
  ProbeHistorySchema,
  SensorViewSchema,
  type CheckAnswer,
  type Correction,
  type SensorView,
} from '../../server/contract/probe.ts';
import { REASON, type Reading } from '../../server/contract/reading.ts';
import type { Clock, CookoutState } from '../../server/ports.ts';
import { aBatch, aCookout, aDish, MIN, T0 } from '../support/cookouts.ts';
import { call, post } from '../support/http.ts';
import { MemoryProbes } from '../support/memory-probes.ts';
import { silentLog } from '../support/silent-log.ts';

const close: (() => void)[] = [];
afterEach(() => {
  for (const stop of close.splice(0)) stop();
});

const STATE: CookoutState = {
  cookout: aCookout({ altitudeM: 1524 }),
  places: [],
  dishes: [aDish()],
  batches: [aBatch()],
  steps: [],
  spotChecks: [],
  seats: [],
};

/** The routes on a real socket, with one probe whose readings are as sent, and its book in memory. */
class Bench {
  nowMs = T0 + 17_000;
  sent: Reading[] = [];
  reasons = 0;
  unpluggedMs: number | null = T0 - MIN;
  state: CookoutState | null = null;
  refreshed = 0;
  readonly probes = new MemoryProbes();
  private readonly clock: Clock = { nowMs: () => this.nowMs, speed: 1 };
  private readonly cookouts = { current: () => this.state };
  private url = '';

  private desk(): ProbeDesk {
    let ids = 0;
    return new ProbeDesk({
      book: this.probes,
      readings: {
        watched: (_id, fromMs, toMs) => this.readings().filter((r) => r.atMs >= fromMs && r.atMs <= toMs),
        corrected: (id, atMs, rawC) => this.corrected(id, atMs, rawC),
      },
      cookouts: this.cookouts,
      clock: this.clock,
      newId: () => `id-${(ids += 1)}`,
    });
  }

  async start(): Promise<this> {
    const app = express();
    app.use(express.json());
    app.use(
      sensorRoutes({
        cookouts: this.cookouts,
        readings: {
          sensors: () => [
            {
              id: 'core-probe',
              label: 'Fork',
              last: this.readings().at(-1) ?? null,
              lastRawC: this.sent.at(-1)?.tempC ?? null,
              lastReasons: this.reasons,
              battery: { percent: 41, atMs: T0 },
            },
          ],
          rename: (id) => id === 'core-probe',
        },
        probes: this.desk(),
        clock: this.clock,
        clockOf: () => ({ kind: 'off', behindMs: 12_000 }),
        unpluggedSinceMs: () => this.unpluggedMs,
        live: { refresh: () => void (this.refreshed += 1) },
      }),
      problemHandler({ log: silentLog, isStoreFault: () => false }),
    );
    const server = createServer(app).listen(0, '127.0.0.1');
    await new Promise((resolve) => server.once('listening', resolve));
    close.push(
      () => server.closeAllConnections(),
      () => server.close(),
    );
    this.url = `http://127.0.0.1:${(server.address() as AddressInfo).port}/sensors`;
    return this;
  }

  private corrected(id: string, atMs: number, rawC: number): number {
    const { gain, offsetC } = this.probes.correctionAt(id, atMs) ?? { gain: 1, offsetC: 0 };
    return gain * rawC + offsetC;
  }
  private readings(): Reading[] {
    return this.sent.map((r) => ({ ...r, tempC: this.corrected('core-probe', r.atMs, r.tempC) }));
  }
  /** A value every ten seconds for two minutes; time moves with it. */
  hold(rawC: number, quality: Reading['quality'] = 1): void {
    for (let i = 0; i < 12; i += 1) {
      this.nowMs += 10_000;
      this.sent.push({ atMs: this.nowMs, tempC: rawC, quality });
    }
  }
  check(body: object) {
    return post<CheckAnswer & Problem>(`${this.url}/core-probe/checks`, body);
  }
  correct(body: object) {
    return post<Correction & Problem>(`${this.url}/core-probe/corrections`, body);
  }
  async history() {
    return ProbeHistorySchema.parse((await call(`${this.url}/core-probe/checks`)).body);
  }
  async list(): Promise<SensorView[]> {
    return (await call<unknown[]>(this.url)).body.map((view) => SensorViewSchema.parse(view));
  }
  async view(): Promise<SensorView> {
    return SensorViewSchema.parse((await this.list())[0]);
  }
  get(path: string) {
    return call<Problem>(`${this.url}${path}`);
  }
  send(path: string, method: string, body: object) {
    return call<Problem>(`${this.url}${path}`, { method, body });
  }
}
const bench = () => new Bench().start();
const fieldsOf = (problem: Problem) => problem.errors?.map((e) => e.field);

describe('the list of probes', () => {
  it('tells of each probe everything that is known', async () => {
    const b = await bench();
    b.state = STATE;
    b.reasons = REASON.spike | REASON.clock;
    b.hold(0.1);
    expect(await b.view()).toMatchObject({
      label: 'Fork',
      lastValueC: 0.1,
      lastRawC: 0.1,
      ageMs: 0,
      reasons: ['spike', 'clock'],
      assignedTo: { kind: 'batch', id: 'chicken-1' },
      battery: { percent: 41 },
      unpluggedSinceMs: T0 - MIN,
      clock: { kind: 'off', behindMs: 12_000 },
      standing: 'never',
      lastCheck: null,
      correction: null,
    });
  });

  it('leaves out what has only ever told humidity or a battery, unless it has a seat or says that it is unplugged', async () => {
    const b = await bench();
    b.unpluggedMs = null;
    expect(await b.list()).toEqual([]);
    b.unpluggedMs = T0;
    expect(await b.list()).toMatchObject([{ lastValueC: null, unpluggedSinceMs: T0 }]);
    b.unpluggedMs = null;
    b.state = STATE;
    expect(await b.list()).toMatchObject([{ lastValueC: null, assignedTo: { kind: 'batch' } }]);
    b.state = null;
    b.hold(0.1);
    expect(await b.list()).toHaveLength(1);
  });

  it('renames a probe, and knows no probe that was never heard', async () => {
    const b = await bench();
    expect((await b.send('/core-probe', 'PATCH', { label: 'Fork 2' })).status).toBe(200);
    expect((await b.send('/nobody', 'PATCH', { label: 'x' })).status).toBe(404);
    expect((await b.get('/nobody/checks')).status).toBe(404);
    expect((await b.send('/nobody/checks', 'POST', { kind: 'ice', readC: 0 })).status).toBe(404);
    expect((await b.send('/nobody/corrections', 'POST', { kind: 'none', checkIds: [] })).status).toBe(404);
  });
});

describe('an ice check', () => {
  it('takes the newest live reading, is kept, and is seen at once', async () => {
    const b = await bench();
    b.hold(0.4);
    const answer = await b.check({ kind: 'ice' });
    expect(answer.status).toBe(201);
    const { check, offers } = CheckAnswerSchema.parse(answer.body);
    expect(check).toMatchObject({ rawC: 0.4, readC: 0.4, expectedC: 0, outcome: 'passed', altitudeM: null });
    expect(offers).toMatchObject([{ kind: 'one-point', gain: 1, offsetC: -0.4 }]);
    expect((await b.history()).checks).toEqual([check]);
    expect(await b.view()).toMatchObject({ standing: 'passed', lastCheck: check });
    expect(b.refreshed).toBe(1);
  });

  it('asks to type what it reads, at the field for it, when there is no live reading', async () => {
    const b = await bench();
    b.hold(0.4);
    b.nowMs += 5 * MIN;
    const answer = await b.check({ kind: 'ice' });
    expect(answer.status).toBe(400);
    expect(answer.body.errors).toEqual([
      { field: 'readC', message: 'no live reading to take: type what it reads' },
    ]);
    expect((await b.history()).checks).toEqual([]);
    expect((await b.check({ kind: 'ice', readC: 1.6 })).body.check).toMatchObject({ outcome: 'failed' });
    expect(await b.view()).toMatchObject({ standing: 'failed' });
  });

  it('waits for a probe that still moves', async () => {
    const b = await bench();
    b.hold(0.8);
    b.nowMs += 10_000;
    b.sent.push({ atMs: b.nowMs, tempC: 0.3, quality: 1 });
    const answer = await b.check({ kind: 'ice' });
    expect(fieldsOf(answer.body)).toEqual(['readC']);
    expect(answer.body.errors?.[0]?.message).toContain('wait');
  });

  it('refuses a reading that cannot be believed', async () => {
    const b = await bench();
    b.hold(0.2, 3);
    b.reasons = REASON.flat;
    expect(fieldsOf((await b.check({ kind: 'ice' })).body)).toEqual(['readC']);
  });
});

describe('a boiling check', () => {
  it('expects what water boils at on the height given, else on that of the cookout', async () => {
    const b = await bench();
    b.state = STATE;
    b.hold(95.2);
    // 94.90 degC at 1,524 m: the table of boiling points against height in test/safety/boiling-point.test.ts
    const here = await b.check({ kind: 'boil' });
    expect(here.body.check).toMatchObject({ outcome: 'passed', altitudeM: 1524 });
    expect(here.body.check.expectedC).toBeCloseTo(94.9, 2);
    const sea = await b.check({ kind: 'boil', altitudeM: 0 });
    expect(sea.body.check).toMatchObject({ outcome: 'failed', altitudeM: 0 });
    expect(sea.body.check.expectedC).toBeCloseTo(99.97, 2);
  });

  it('asks for the height when there is no cookout', async () => {
    const b = await bench();
    b.hold(99.5);
    expect(fieldsOf((await b.check({ kind: 'boil' })).body)).toEqual(['altitudeM']);
    expect((await b.history()).checks).toEqual([]);
  });
});

describe('what is sent with a check', () => {
  it('is refused field by field', async () => {
    const b = await bench();
    const answer = await b.check({ kind: 'oil', readC: 'cold', altitudeM: 9000, by: 'me' });
    expect(fieldsOf(answer.body)?.sort()).toEqual(['altitudeM', 'by', 'kind', 'readC']);
    expect(fieldsOf((await b.correct({ kind: 'one-point', checkIds: ['a', 'b', 'c'] })).body)).toEqual([
      'checkIds',
    ]);
  });
});

describe('a correction', () => {
  it('begins at the next whole minute, changes nothing that was read, and has to be proven', async () => {
    const b = await bench();
    b.hold(-1.4);
    const { body } = await b.check({ kind: 'ice' });
    expect(body.check.outcome).toBe('failed');
    const offer = body.offers[0]!;
    const before = await b.view();
    const answer = await b.correct({ kind: offer.kind, checkIds: offer.checkIds });
    expect(answer.status).toBe(201);
    const correction = CorrectionSchema.parse(answer.body);
    expect(correction).toMatchObject({ gain: 1, offsetC: 1.4, checkIds: [body.check.id] });
    expect(correction.fromMs % MIN).toBe(0);
    expect(correction.fromMs).toBeGreaterThan(b.nowMs);
    expect(await b.view()).toEqual({ ...before, standing: 'failed' });

    b.hold(-1.4);
    expect(await b.view()).toMatchObject({ standing: 'failed', lastRawC: -1.4, correction });
    expect((await b.view()).lastValueC).toBeCloseTo(0, 9);
    expect((await b.check({ kind: 'ice' })).body).toMatchObject({
      check: { rawC: -1.4, outcome: 'passed' },
      offers: [],
    });
    expect(await b.view()).toMatchObject({ standing: 'passed' });
  });

  it('takes a typed value for what the probe itself says', async () => {
    const b = await bench();
    b.hold(-1.4);
    const { body } = await b.check({ kind: 'ice' });
    await b.correct({ kind: 'one-point', checkIds: [body.check.id] });
    b.nowMs += 3 * MIN;
    const typed = (await b.check({ kind: 'ice', readC: -1.3 })).body.check;
    expect(typed).toMatchObject({ rawC: -1.3, outcome: 'passed' });
    expect(typed.readC).toBeCloseTo(0.1, 9);
  });

  it('by two points puts both checks right, and another one begins after it', async () => {
    const b = await bench();
    b.hold(-1.5);
    const ice = (await b.check({ kind: 'ice' })).body.check;
    b.hold(97.2);
    const { check: boil, offers } = (await b.check({ kind: 'boil', altitudeM: 0 })).body;
    expect(offers[0]).toMatchObject({ kind: 'two-point', checkIds: [boil.id, ice.id] });
    const first = (await b.correct({ kind: 'two-point', checkIds: [ice.id, boil.id] })).body;
    expect(first.gain * ice.rawC + first.offsetC).toBeCloseTo(0, 2);
    expect(first.gain * boil.rawC + first.offsetC).toBeCloseTo(boil.expectedC, 2);
    const back = (await b.correct({ kind: 'none', checkIds: [] })).body;
    expect(back.fromMs).toBe(first.fromMs + MIN);
    b.hold(97.2);
    b.hold(97.2);
    expect(await b.view()).toMatchObject({ correction: null, lastValueC: 97.2 });
  });

  it('is refused, naming the field, for a probe that is too far off', async () => {
    const b = await bench();
    b.hold(4.2);
    const { body } = await b.check({ kind: 'ice' });
    expect(body.offers).toEqual([]);
    expect(body.beyondCorrecting).toContain('do not use');
    const answer = await b.correct({ kind: 'one-point', checkIds: [body.check.id] });
    expect(answer.status).toBe(400);
    expect(fieldsOf(answer.body)).toEqual(['checkIds']);
    expect((await b.history()).corrections).toEqual([]);
  });

  it('is not made of the check of another probe', async () => {
    const b = await bench();
    b.hold(0.4);
    expect(fieldsOf((await b.correct({ kind: 'one-point', checkIds: ['other'] })).body)).toEqual([
      'checkIds',
    ]);
  });
});
