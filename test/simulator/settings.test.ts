import { describe, expect, it } from 'vitest';
import { parseSettings } from '../../simulator/settings.ts';

function messageOf(...args: string[]): string {
  const parsed = parseSettings(args);
  return parsed.ok ? '' : parsed.message;
}

describe('the command line', () => {
  it('publishes the harvest supper to a broker next door when nothing is said', () => {
    const parsed = parseSettings([]);
    expect(parsed).toMatchObject({
      ok: true,
      settings: {
        brokerUrl: 'mqtt://127.0.0.1:1883',
        speed: 1,
        seed: 7,
        start: 'busy',
        httpUrl: null,
        origin: null,
      },
    });
  });
  it.each([
    ['1', 'busy'],
    ['2', 'busy'],
    ['2.5', 'whole'],
    ['30', 'whole'],
  ])('begins at speed %s with the start %s', (speed, start) => {
    expect(parseSettings(['--speed', speed])).toMatchObject({ settings: { start } });
  });
  it('takes a start that is named at any speed', () => {
    expect(parseSettings(['--speed', '30', '--start', 'busy'])).toMatchObject({
      settings: { start: 'busy' },
    });
  });
  it('reads the clock it shares with a server', () => {
    const parsed = parseSettings(['--origin-real', '1760000000000', '--origin-sim', '1760000300000']);
    expect(parsed).toMatchObject({
      settings: { origin: { realMs: 1_760_000_000_000, simMs: 1_760_000_300_000 } },
    });
  });
  it.each([
    ['--speed', '0'],
    ['--speed', 'fast'],
    ['--speed', ''],
    ['--speed', '1001'],
    ['--seed', '1.5'],
    ['--seed', '-3'],
    ['--exit-after', '0'],
    ['--exit-after', 'NaN'],
    ['--start', 'later'],
    ['--scenario', 'breakfast'],
    ['--broker', '127.0.0.1:1883'],
    ['--http', 'ftp://127.0.0.1'],
    ['--origin-real', '12'],
  ])('names the option when %s is "%s"', (option, value) => {
    expect(messageOf(`${option}=${value}`)).toContain(option);
  });
  it('refuses one half of a clock', () => {
    expect(messageOf('--origin-sim', '1760000000000')).toContain('--origin-real');
  });
  it('refuses an option it does not know', () => {
    expect(messageOf('--colour', 'red')).toContain('--colour');
  });
});
