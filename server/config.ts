import * as z from 'zod/mini';
import { isTimeZone } from './contract/time-zone.ts';

const Port = z.coerce.number().check(z.int(), z.gte(0), z.lte(65_535));
const LOG_LEVELS = ['fatal', 'error', 'warn', 'info', 'debug', 'silent'] as const;

const EnvSchema = z.object({
  TONGSIDE_DATA_DIR: z._default(z.string().check(z.minLength(1)), './data'),
  TONGSIDE_HTTP_PORT: z._default(Port, 8080),
  TONGSIDE_BIND: z._default(z.string().check(z.minLength(1), z.maxLength(255)), '127.0.0.1'),
  TONGSIDE_MQTT_PORT: z._default(Port, 1883),
  TONGSIDE_BROKER_URL: z.optional(
    z
      .string()
      .check(z.regex(/^(mqtt|mqtts|ws|wss):\/\/[^/\s]+/, 'must be a URL such as mqtt://127.0.0.1:1883')),
  ),
  TONGSIDE_BROKER_USER: z.optional(z.string().check(z.minLength(1), z.maxLength(100))),
  TONGSIDE_BROKER_PASSWORD: z.optional(z.string().check(z.minLength(1), z.maxLength(200))),
  TONGSIDE_MAPPING: z.optional(z.string().check(z.minLength(1), z.maxLength(1_000))),
  TONGSIDE_TIME_ZONE: z.optional(
    z.string().check(z.refine(isTimeZone, 'must be an IANA time zone such as Europe/London')),
  ),
  TONGSIDE_LOG_LEVEL: z._default(z.enum(LOG_LEVELS), 'info'),
  /** A demonstration's clock: real epoch ms, the server's epoch ms at that moment, server seconds per real second. */
  TONGSIDE_DEMO_CLOCK: z.optional(
    z.string().check(z.regex(/^\d{12,14},\d{12,14},\d{1,3}(\.\d+)?$/, 'must be real-ms,server-ms,speed')),
  ),
});

export type ClockSetting = { realMs: number; serverMs: number; speed: number };
export type Config = {
  dataDir: string;
  httpPort: number;
  bind: string;
  isLoopback: boolean;
  mqttPort: number;
  brokerUrl: string | null;
  brokerUser: string | null;
  brokerPassword: string | null;
  /** Where the mapping is kept; null: `mapping.json` in the data folder. */
  mappingPath: string | null;
  timeZone: string;
  logLevel: (typeof LOG_LEVELS)[number];
  demoClock: ClockSetting | null;
};
export type ConfigResult = { ok: true; config: Config } | { ok: false; problems: string[] };

function isLoopbackAddress(bind: string): boolean {
  return bind === 'localhost' || bind === '::1' || /^127\.\d{1,3}\.\d{1,3}\.\d{1,3}$/.test(bind);
}

function unknownSettings(env: Readonly<Record<string, string | undefined>>): string[] {
  const known = new Set(Object.keys(EnvSchema.shape));
  return Object.keys(env)
    .filter((name) => name.startsWith('TONGSIDE_') && !known.has(name))
    .map((name) => `${name}: no such setting`);
}

function demoClockOf(text: string | undefined): ClockSetting | null {
  if (text === undefined) return null;
  const [realMs = 0, serverMs = 0, speed = 1] = text.split(',').map(Number);
  return { realMs, serverMs, speed };
}

/** Reads every setting once; all problems are listed, each with the name of its setting. */
export function parseConfig(env: Readonly<Record<string, string | undefined>>): ConfigResult {
  const parsed = EnvSchema.safeParse(env);
  const problems = unknownSettings(env);
  if (!parsed.success) {
    for (const issue of parsed.error.issues) problems.push(`${issue.path.join('.')}: ${issue.message}`);
  }
  if (!parsed.success || problems.length > 0) return { ok: false, problems };
  const e = parsed.data;
  if ((e.TONGSIDE_BROKER_USER === undefined) !== (e.TONGSIDE_BROKER_PASSWORD === undefined)) {
    return {
      ok: false,
      problems: ['TONGSIDE_BROKER_USER and TONGSIDE_BROKER_PASSWORD: set both or neither'],
    };
  }
  const isLoopback = isLoopbackAddress(e.TONGSIDE_BIND);
  if (!isLoopback && e.TONGSIDE_BROKER_URL === undefined && e.TONGSIDE_BROKER_USER === undefined) {
    const why =
      'needed when TONGSIDE_BIND is not this machine alone, so that nobody on the network can invent readings';
    return { ok: false, problems: [`TONGSIDE_BROKER_USER and TONGSIDE_BROKER_PASSWORD: ${why}`] };
  }
  return {
    ok: true,
    config: {
      dataDir: e.TONGSIDE_DATA_DIR,
      httpPort: e.TONGSIDE_HTTP_PORT,
      bind: e.TONGSIDE_BIND,
      isLoopback,
      mqttPort: e.TONGSIDE_MQTT_PORT,
      brokerUrl: e.TONGSIDE_BROKER_URL ?? null,
      brokerUser: e.TONGSIDE_BROKER_USER ?? null,
      brokerPassword: e.TONGSIDE_BROKER_PASSWORD ?? null,
      mappingPath: e.TONGSIDE_MAPPING ?? null,
      timeZone: e.TONGSIDE_TIME_ZONE ?? Intl.DateTimeFormat().resolvedOptions().timeZone,
      logLevel: e.TONGSIDE_LOG_LEVEL,
      demoClock: demoClockOf(e.TONGSIDE_DEMO_CLOCK),
    },
  };
}
