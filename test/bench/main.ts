import { writeFileSync } from 'node:fs';
import { availableParallelism, loadavg } from 'node:os';
import { parseArgs } from 'node:util';
import { brokenCeilings, ceilingOf } from './ceilings.ts';
import { PARTS, type Figure, type Part } from './figure.ts';
import { measureFanOut } from './fan-out.ts';
import { tableOf } from './figures.ts';
import { measureForecasts } from './forecast-cost.ts';
import { measureHistory } from './history.ts';
import { measureIngest } from './ingest.ts';
import { measurePage } from './page-weight.ts';
import { measureSlowDisk } from './slow-disk.ts';
import { measureWatching } from './watching.ts';

const MEASURES: Record<Part, () => Promise<Figure[]>> = {
  ingest: measureIngest,
  'slow-disk': measureSlowDisk,
  history: measureHistory,
  watching: measureWatching,
  'fan-out': measureFanOut,
  forecast: measureForecasts,
  page: measurePage,
};
const BAD_OPTIONS = 2;

type Options = { parts: Part[]; json: string | null };

function optionsOf(args: string[]): Options {
  const { values } = parseArgs({
    args,
    options: { json: { type: 'string' }, only: { type: 'string', multiple: true, default: [] } },
  });
  const unknown = values.only.filter((name) => !PARTS.some((part) => part === name));
  if (unknown.length > 0)
    throw new RangeError(`--only: one of ${PARTS.join(', ')}, not ${unknown.join(', ')}`);
  const parts = values.only.length === 0 ? [...PARTS] : PARTS.filter((part) => values.only.includes(part));
  return { parts, json: values.json ?? null };
}

/** Measures part after part; one that fails is a broken bound, and the others are measured all the same. */
async function run({ parts, json }: Options): Promise<number> {
  const cores = availableParallelism();
  const loadBefore = loadavg()[0] ?? Number.NaN;
  console.log(
    `Node ${process.version}, ${cores} cores, load ${loadBefore.toFixed(1)} before the first part.`,
  );
  if (loadBefore > cores / 2)
    console.log('The machine is busy with something else: only ratios within a round mean anything.');
  const figures: Figure[] = [];
  const failed: string[] = [];
  for (const part of parts) {
    try {
      figures.push(...(await MEASURES[part]()));
      console.log(`\n${tableOf(part, figures)}`);
    } catch (error: unknown) {
      console.error(error);
      failed.push(`${part}: ${error instanceof Error ? error.message : String(error)}`);
    }
  }
  const broken = [...failed, ...brokenCeilings(figures, parts)];
  const bounded = figures.filter((figure) => ceilingOf(figure) !== null).length;
  const said =
    broken.length === 0
      ? `${bounded} figures have a bound, and keep it.`
      : `Broken:\n${broken.map((line) => `  ${line}`).join('\n')}`;
  console.log(`\n${said}`);
  const whole = { node: process.version, cores, loadBefore, figures, broken };
  if (json !== null) writeFileSync(json, `${JSON.stringify(whole, null, 2)}\n`);
  return broken.length === 0 ? 0 : 1;
}

function options(): Options | null {
  try {
    return optionsOf(process.argv.slice(2));
  } catch (error: unknown) {
    console.error(error instanceof Error ? error.message : String(error));
    return null;
  }
}

const wanted = options();
process.exitCode = wanted ? await run(wanted) : BAD_OPTIONS;
