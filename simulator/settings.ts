import { parseArgs } from 'node:util';
import type { Scenario } from './scenario.ts';
import { HARVEST_SUPPER } from './scenarios/harvest-supper.ts';

export type Start = 'busy' | 'whole';
export type Settings = {
  brokerUrl: string;
  user: string | null;
  password: string | null;
  scenario: Scenario;
  speed: number;
  seed: number;
  start: Start;
  httpUrl: string | null;
  /** Real and simulated epoch ms that belong together; null: both begin now. */
  origin: { realMs: number; simMs: number } | null;
  exitAfterS: number | null;
  /** How long an action may be overdue before the invented cook does it; null: as fits the speed. Simulated s. */
  patienceS: number | null;
};
export type ParsedSettings = { ok: true; settings: Settings } | { ok: false; message: string };

const SCENARIOS: readonly Scenario[] = [HARVEST_SUPPER];
const SPEED_MAX = 1000;
/** Up to this speed a person can follow, so live time begins at the busy moment. */
const BUSY_UP_TO_SPEED = 2;

class BadOption extends Error {}

function numberOf(
  option: string,
  text: string,
  allowed: { above: number; upTo: number; whole: boolean },
): number {
  const value = text.trim() === '' ? Number.NaN : Number(text);
  const fits = value > allowed.above && value <= allowed.upTo && (!allowed.whole || Number.isInteger(value));
  if (fits) return value;
  const kind = allowed.whole ? 'a whole number' : 'a number';
  throw new BadOption(
    `--${option}: expected ${kind} above ${String(allowed.above)} and up to ${String(allowed.upTo)}, got "${text}"`,
  );
}

function urlOf(option: string, text: string, schemes: readonly string[]): string {
  if (URL.canParse(text) && schemes.includes(new URL(text).protocol)) return text;
  throw new BadOption(
    `--${option}: expected an address that starts with ${schemes.join(' or ')}//, got "${text}"`,
  );
}

function startOf(text: string | undefined, speed: number): Start {
  if (text === undefined) return speed <= BUSY_UP_TO_SPEED ? 'busy' : 'whole';
  if (text === 'busy' || text === 'whole') return text;
  throw new BadOption(`--start: expected busy or whole, got "${text}"`);
}

function scenarioOf(text: string): Scenario {
  const found = SCENARIOS.find(({ name }) => name === text);
  if (found !== undefined) return found;
  const names = SCENARIOS.map(({ name }) => name).join(', ');
  throw new BadOption(`--scenario: expected one of ${names}, got "${text}"`);
}

function originOf(real: string | undefined, sim: string | undefined): Settings['origin'] {
  if (real === undefined && sim === undefined) return null;
  if (real === undefined || sim === undefined) {
    throw new BadOption('--origin-real and --origin-sim: expected both or neither');
  }
  const allowed = { above: 946_684_800_000, upTo: 4_102_444_800_000, whole: false };
  return { realMs: numberOf('origin-real', real, allowed), simMs: numberOf('origin-sim', sim, allowed) };
}

/** Reads the command line. A message names the option that is wrong, what was expected and what was given. */
export function parseSettings(args: readonly string[]): ParsedSettings {
  try {
    const { values } = parseArgs({
      args: [...args],
      options: {
        broker: { type: 'string', default: 'mqtt://127.0.0.1:1883' },
        user: { type: 'string' },
        password: { type: 'string' },
        scenario: { type: 'string', default: HARVEST_SUPPER.name },
        speed: { type: 'string', default: '1' },
        seed: { type: 'string', default: '7' },
        start: { type: 'string' },
        http: { type: 'string' },
        'origin-real': { type: 'string' },
        'origin-sim': { type: 'string' },
        'exit-after': { type: 'string' },
        patience: { type: 'string' },
      },
    });
    const speed = numberOf('speed', values.speed, { above: 0, upTo: SPEED_MAX, whole: false });
    const exitAfter = values['exit-after'];
    const settings: Settings = {
      brokerUrl: urlOf('broker', values.broker, ['mqtt:', 'mqtts:']),
      user: values.user ?? null,
      password: values.password ?? null,
      scenario: scenarioOf(values.scenario),
      speed,
      seed: numberOf('seed', values.seed, { above: -1, upTo: Number.MAX_SAFE_INTEGER, whole: true }),
      start: startOf(values.start, speed),
      httpUrl: values.http === undefined ? null : urlOf('http', values.http, ['http:', 'https:']),
      origin: originOf(values['origin-real'], values['origin-sim']),
      exitAfterS:
        exitAfter === undefined
          ? null
          : numberOf('exit-after', exitAfter, { above: 0, upTo: 86_400, whole: false }),
      patienceS:
        values.patience === undefined
          ? null
          : numberOf('patience', values.patience, { above: 0, upTo: 86_400, whole: false }),
    };
    return { ok: true, settings };
  } catch (error) {
    // parseArgs throws a TypeError that names the option it does not know.
    if (error instanceof BadOption || error instanceof TypeError)
      return { ok: false, message: error.message };
    throw error;
  }
}
