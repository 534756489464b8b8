import { describe, expect, it } from 'vitest';
import { TOPIC_FILTERS } from '../../server/ingest/decode.ts';
import type { SessionMemory } from '../../server/ingest/broker-session.ts';
import type { Packet } from '../../server/ingest/intake.ts';
import { hasMosquitto, runMosquitto } from '../support/mosquitto.ts';
import { aDevice, aSource, send } from '../support/mqtt-source.ts';
import { until } from '../support/until.ts';
import { wireTo } from '../support/wire.ts';

const rest = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

function aMemory(): SessionMemory {
  let kept: string | null = null;
  return { read: () => kept, write: (text) => (kept = text) };
}

describe.runIf(hasMosquitto)('a server that stops behind an external broker', () => {
  it.each([
    { when: 'when the store fails at the last moment', flushes: true, fails: true },
    { when: 'when the last group is not tried at all', flushes: false, fails: true },
    { when: 'and stores its last group, which then does not come again', flushes: true, fails: false },
  ])('acknowledges only what is on disk, $when', async ({ flushes, fails }) => {
    const broker = await runMosquitto();
    const memory = aMemory();
    let isDiskFull = false;
    const first = aSource(broker, {
      memory,
      beforeCommit: () => {
        if (isDiskFull) throw new Error('disk full');
      },
    });
    // as after a commit that took long: a message waits for others
    Object.assign(first.group.stats, { commits: 1, meanMs: 100 });
    first.source.start();
    await first.up();
    isDiskFull = fails;
    await send(await aDevice(broker), 'last', '63.5');
    await rest(60);
    if (flushes) first.group.flush();
    await first.source.stop();
    expect(first.stored('last')).toHaveLength(fails ? 0 : 1);

    const second = aSource(broker, { memory });
    second.source.start();
    await second.up();
    await rest(500);
    expect(second.stored('last').map((r) => r.tempC)).toEqual(fails ? [63.5] : []);
    expect(second.outages).toEqual([]);
  });
});

describe.runIf(hasMosquitto)('the topics that a broker sends', () => {
  const [ONE, TWO] = ['yard/+', 'shed/+'];

  it.each([
    { how: 'given up before it was granted', steps: [[ONE], []], heard: [] },
    { how: 'taken again before it was given up', steps: [[ONE], [], [ONE]], heard: ['yard/a'] },
    { how: 'replaced by another at once', steps: [[ONE], [TWO]], heard: ['shed/a'] },
    { how: 'changed and changed back', steps: [[ONE], [TWO], [ONE]], heard: ['yard/a'] },
  ])('are those of the newest mapping, also when one is $how', async ({ steps, heard }) => {
    const broker = await runMosquitto();
    const wire = await wireTo(broker.port);
    const memory = aMemory();
    const topics: string[] = [];
    const s = aSource(wire, {
      memory,
      take: ({ topic }: Packet, done) => {
        topics.push(topic);
        done(null);
        return true;
      },
    });
    s.source.start();
    await s.up();
    for (const filters of steps) s.source.setFilters([...TOPIC_FILTERS, ...filters]);
    await rest(300);
    const device = await aDevice(broker);
    const publish = async (): Promise<void> => {
      for (const topic of ['yard/a', 'shed/a', 'tongside/reading/a'])
        await device.publishAsync(topic, '5', { qos: 1 });
    };
    await publish();
    await rest(300);
    expect(topics).toEqual([...heard, 'tongside/reading/a']);
    const noted: unknown = JSON.parse(memory.read() ?? '');
    expect(noted).toMatchObject({ filters: [...TOPIC_FILTERS, ...(steps.at(-1) ?? [])] });

    wire.cut();
    await until('the second connection', () => (s.connects.length >= 2 ? true : null), 15_000);
    await s.up();
    topics.length = 0;
    await publish();
    await rest(300);
    expect(topics).toEqual([...heard, 'tongside/reading/a']);
  });
});
