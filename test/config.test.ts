import { describe, expect, it } from 'vitest';
import { parseConfig } from '../server/config.ts';

describe('settings', () => {
  it('are those of the documentation when nothing is set', () => {
    const result = parseConfig({ TZ: 'UTC' });
    expect(result).toMatchObject({
      ok: true,
      config: {
        dataDir: './data',
        httpPort: 8080,
        bind: '127.0.0.1',
        isLoopback: true,
        mqttPort: 1883,
        brokerUrl: null,
        mappingPath: null,
      },
    });
  });

  it('that are wrong are all listed, each by its name', () => {
    const result = parseConfig({
      TONGSIDE_HTTP_PORT: '99999',
      TONGSIDE_MQTT_PORT: 'many',
      TONGSIDE_BROKER_URL: 'localhost',
      TONGSIDE_TIME_ZONE: 'Mars/Olympus',
      TONGSIDE_HTTP_PROT: '1',
    });
    const problems = result.ok ? [] : result.problems.map((p) => p.split(':')[0]);
    expect(problems.sort()).toEqual([
      'TONGSIDE_BROKER_URL',
      'TONGSIDE_HTTP_PORT',
      'TONGSIDE_HTTP_PROT',
      'TONGSIDE_MQTT_PORT',
      'TONGSIDE_TIME_ZONE',
    ]);
  });

  it('may name the mapping file', () => {
    expect(parseConfig({ TONGSIDE_MAPPING: 'my-probes.json' })).toMatchObject({
      config: { mappingPath: 'my-probes.json' },
    });
    expect(parseConfig({ TONGSIDE_MAPPING: '' }).ok).toBe(false);
  });

  it.each(['127.0.0.1', 'localhost', '::1', '127.1.2.3'])(
    'take %s for this machine alone',
    (TONGSIDE_BIND) => {
      expect(parseConfig({ TONGSIDE_BIND })).toMatchObject({ config: { isLoopback: true } });
    },
  );

  it('do not let a network publish to the embedded broker without a password', () => {
    expect(parseConfig({ TONGSIDE_BIND: '0.0.0.0' }).ok).toBe(false);
    const secured = {
      TONGSIDE_BIND: '0.0.0.0',
      TONGSIDE_BROKER_USER: 'probe',
      TONGSIDE_BROKER_PASSWORD: 'secret',
    };
    expect(parseConfig(secured)).toMatchObject({ ok: true, config: { isLoopback: false } });
    expect(parseConfig({ TONGSIDE_BROKER_USER: 'probe' }).ok).toBe(false);
  });
});
