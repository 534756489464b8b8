import { describe, expect, it } from 'vitest';
import type { Reject } from '../../server/contract/reading.ts';
import { Found } from '../../server/ingest/found.ts';
import type { Message } from '../../server/ingest/message.ts';
import { rulesOf } from './mapping/rules.ts';
import { understand } from '../../server/ingest/understand.ts';

const NOW_MS = 1_760_000_000_000;
const MINUTE_MS = 60_000;
const NO_RULES = rulesOf();

function message(topic: string, payload: string | Uint8Array = '63.5', receivedMs = NOW_MS): Message {
  const bytes = typeof payload === 'string' ? new TextEncoder().encode(payload) : payload;
  return { topic, payload: bytes, receivedMs, retained: false };
}
function aFound(isKnown: (topic: string) => boolean = () => false): Found {
  return new Found(isKnown);
}
/** Takes a message in as the server does; gives the rejects that are to be stored. */
function hear(found: Found, ...sent: Parameters<typeof message>): Reject[] {
  const heard = message(...sent);
  return found.note(heard, understand(heard, NO_RULES));
}

describe('topics that were heard but not understood', () => {
  it('are listed with their count, the last payload and why', () => {
    const found = aFound();
    hear(found, 'yard/left', '1', NOW_MS - 1_000);
    hear(found, 'yard/left', '{"t":5}');
    expect(found.list()).toEqual([
      {
        topic: 'yard/left',
        count: 2,
        lastMs: NOW_MS,
        reason: 'unknown-topic',
        detail: expect.any(String) as string,
        payloadText: '{"t":5}',
        payloadHex: '',
        bytes: 7,
      },
    ]);
  });

  it('are also topics of ours whose payload gave nothing but rejects', () => {
    const found = aFound();
    hear(found, 'tongside/reading/left', 'abc');
    expect(found.list()).toMatchObject([
      { topic: 'tongside/reading/left', reason: 'not-a-number', detail: 'abc' },
    ]);
  });

  it('leave the list when they are understood', () => {
    const found = aFound();
    hear(found, 'tongside/reading/left', 'abc');
    hear(found, 'tongside/reading/left', '63.5');
    expect(found.list()).toEqual([]);
  });

  it('stay on the list on the topic that devices share, while another device sends well there', () => {
    const found = aFound();
    const good = '[{"n":"a","u":"Cel","v":63.5}]';
    hear(found, 'tongside/senml', '[{"n":"b","u":"Cel","v":"63"}]', NOW_MS);
    hear(found, 'tongside/senml', good, NOW_MS + 1_000);
    hear(found, 'tongside/senml', good, NOW_MS + 59 * MINUTE_MS);
    expect(found.list()).toMatchObject([{ topic: 'tongside/senml', reason: 'bad-senml', count: 1 }]);
    expect(found.list()[0]?.payloadText).toContain('"v":"63"');
    hear(found, 'tongside/senml', good, NOW_MS + 60 * MINUTE_MS);
    expect(found.list()).toEqual([]);
  });

  it('are listed when a message on a topic of a rule does not have the member that the rule reads', () => {
    const found = aFound();
    const rules = rulesOf({
      filter: 'ext/+',
      sensor: { from: 'topic', level: 1 },
      values: [{ at: '/t', quantity: 'temperature', unit: 'Cel' }],
    });
    const status = message('ext/new', '{"temp":5}');
    found.note(status, understand(status, rules));
    expect(found.list()).toMatchObject([
      { topic: 'ext/new', reason: 'no-value', detail: 'nothing at /t', payloadText: '{"temp":5}' },
    ]);
  });

  it('are also heard by listening to everything, if no rule or built-in filter matches them', () => {
    const found = aFound((topic) => topic === 'yard/known');
    for (const topic of ['yard/known', 'yard/other']) found.heard(message(topic));
    found.heard(message('yard/cleared', ''));
    expect(found.list()).toMatchObject([
      { topic: 'yard/other', reason: 'unknown-topic', payloadText: '63.5' },
    ]);
  });

  it('are at most 200, and the one that was quiet longest goes', () => {
    const found = aFound();
    for (let i = 0; i < 200; i += 1) hear(found, `yard/${i}`);
    hear(found, 'yard/0');
    hear(found, 'yard/new');
    const topics = found.list().map((f) => f.topic);
    expect(topics).toHaveLength(200);
    expect(topics.slice(0, 2)).toEqual(['yard/new', 'yard/0']);
    expect(topics).not.toContain('yard/1');
    expect(found.size).toBe(200);
  });

  it('are forgotten when a person says so, and come back when they are heard again', () => {
    const found = aFound();
    hear(found, 'yard/left');
    expect([found.forget('yard/left'), found.forget('yard/left'), found.size]).toEqual([true, false, 0]);
    hear(found, 'yard/left');
    expect(found.list()[0]?.count).toBe(1);
  });

  it('leave the list when a rule for them is made, but stay when it was a rule that failed', () => {
    const known = new Set<string>();
    const found = aFound((topic) => known.has(topic));
    hear(found, 'yard/left');
    hear(found, 'yard/right');
    hear(found, 'tongside/reading/left', 'abc');
    known.add('yard/left').add('tongside/reading/left');
    found.rulesChanged();
    expect(found.list().map((f) => f.topic)).toEqual(['tongside/reading/left', 'yard/right']);
  });
});

describe('the payload of such a topic', () => {
  const listed = (payload: Uint8Array) => {
    const found = aFound();
    hear(found, 'yard/left', payload);
    return found.list()[0];
  };

  it.each([
    ['bytes that are not UTF-8', Uint8Array.of(0xff, 0xfe), 'fffe'],
    ['control characters', Uint8Array.of(0x00, 0x41), '0041'],
    ['half a letter', Uint8Array.of(0x41, 0xc3), '41c3'],
  ])('is shown in hexadecimal: %s', (_name, payload, hex) => {
    expect(listed(payload)).toMatchObject({ payloadText: null, payloadHex: hex, bytes: 2 });
  });

  it('is cut, and its whole length told; half a letter at the cut is left out', () => {
    const text = `${'x'.repeat(2_047)}ß and more`;
    const shown = listed(new TextEncoder().encode(text));
    expect(shown?.payloadText).toBe('x'.repeat(2_047));
    expect(shown?.bytes).toBe(2_058);
  });

  it('keeps its line breaks', () => {
    expect(listed(new TextEncoder().encode('{\r\n\t"t": 5\n}'))?.payloadText).toBe('{\r\n\t"t": 5\n}');
  });
});

describe('the rejects that are stored', () => {
  it('are one a minute of a topic that nobody understands, while the count goes on', () => {
    const found = aFound();
    const stored = [0, 1, 59_999, 60_000, 90_000, 130_000].map(
      (ms) => hear(found, 'yard/left', '63.5', NOW_MS + ms).length,
    );
    expect(stored).toEqual([1, 0, 0, 1, 0, 1]);
    expect(found.list()[0]?.count).toBe(6);
  });

  it('are stored again when the clock was put back', () => {
    const found = aFound();
    hear(found, 'yard/left');
    expect(hear(found, 'yard/left', '63.5', NOW_MS - 10 * MINUTE_MS)).toHaveLength(1);
  });

  it('are all those of a topic that is ours', () => {
    const found = aFound();
    for (let i = 0; i < 5; i += 1) expect(hear(found, 'tongside/reading/left', 'abc')).toHaveLength(1);
  });

  it('are at most 200 a minute, however many topics there are', () => {
    const found = aFound();
    const count = (fromMs: number) => {
      let stored = 0;
      for (let i = 0; i < 1_000; i += 1) stored += hear(found, `yard/${fromMs}/${i}`, '63.5', fromMs).length;
      return stored;
    };
    expect([count(NOW_MS), count(NOW_MS + 1_000), count(NOW_MS + MINUTE_MS)]).toEqual([200, 0, 200]);
  });
});

describe('after a start', () => {
  const reject = (topic: string, receivedMs: number): Reject => ({
    topic,
    receivedMs,
    reason: 'unknown-topic',
    detail: 'before',
    payload: new TextEncoder().encode('63.5'),
  });

  it('the list begins with the stored rejects of the last day, none of them counted yet', () => {
    const found = aFound();
    found.seed(
      [
        reject('b', NOW_MS - 1),
        reject('a', NOW_MS - 5),
        reject('b', NOW_MS - 9),
        reject('old', NOW_MS - 90_000_000),
      ],
      NOW_MS,
    );
    expect(found.list()).toMatchObject([
      { topic: 'b', count: 0, lastMs: NOW_MS - 1, payloadText: '63.5' },
      { topic: 'a', count: 0, lastMs: NOW_MS - 5 },
    ]);
    hear(found, 'a');
    expect(found.list()[0]).toMatchObject({ topic: 'a', count: 1 });
  });

  it('the list leaves out topics that have a rule by now', () => {
    const found = aFound((topic) => topic === 'a');
    found.seed([reject('a', NOW_MS), reject('b', NOW_MS)], NOW_MS);
    expect(found.list().map((f) => f.topic)).toEqual(['b']);
  });
});
