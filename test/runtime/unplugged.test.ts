import { describe, expect, it } from 'vitest';
import { REASON, type IncomingReading } from '../../server/contract/reading.ts';
import { UnpluggedChannels } from '../../server/runtime/unplugged.ts';

const reading = (over: Partial<IncomingReading> = {}): IncomingReading => ({
  sensorId: 'left',
  atMs: 500,
  receivedMs: 500,
  tempC: 20,
  quality: 1,
  reasons: 0,
  timeSource: 'arrival',
  nextWithinS: null,
  ...over,
});
function unplugged(): UnpluggedChannels {
  const channels = new UnpluggedChannels();
  channels.note([{ unplugged: [{ sensorId: 'left', receivedMs: 100 }] }], []);
  channels.note([{ unplugged: [{ sensorId: 'left', receivedMs: 200 }] }], []);
  return channels;
}

describe('a channel that says that nothing is plugged in', () => {
  it('has said so since the first time, and other channels have not', () => {
    expect(unplugged().sinceMs('left')).toBe(100);
    expect(unplugged().sinceMs('right')).toBeNull();
  });

  it('is plugged in again with its next reading', () => {
    const channels = unplugged();
    channels.note([], [reading({ sensorId: 'right' })]);
    expect(channels.sinceMs('left')).toBe(100);
    channels.note([], [reading()]);
    expect(channels.sinceMs('left')).toBeNull();
  });

  it('is not plugged in by a reading that failed, or is old news', () => {
    const channels = unplugged();
    channels.note(
      [],
      [
        reading({ quality: 4 }),
        reading({ quality: 9 }),
        reading({ reasons: REASON.late }),
        reading({ reasons: REASON.retained, quality: 3 }),
        reading({ receivedMs: 200 }),
      ],
    );
    expect(channels.sinceMs('left')).toBe(100);
  });

  it('is not plugged in by a reading between two of its words, even when all come in one group', () => {
    const channels = new UnpluggedChannels();
    const said = [100, 300].map((receivedMs) => ({ sensorId: 'left', receivedMs }));
    channels.note([{ unplugged: said }], [reading({ receivedMs: 200 })]);
    expect(channels.sinceMs('left')).toBe(100);
  });

  it('does not fill the memory, whatever the names', () => {
    const channels = new UnpluggedChannels();
    const told = Array.from({ length: 5_000 }, (_, i) => ({ sensorId: `s${i}`, receivedMs: 1 }));
    channels.note([{ unplugged: told }], []);
    expect(told.filter(({ sensorId }) => channels.sinceMs(sensorId) !== null)).toHaveLength(1_000);
  });
});
