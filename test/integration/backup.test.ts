import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { NumberedProbe } from '../support/numbered-probe.ts';
import { runCommand } from '../support/run-command.ts';
import { refusedStart, runServer } from '../support/run-server.ts';
import { storedTimes } from '../support/stored.ts';
import { tempDir } from '../support/temp-dir.ts';
import { until } from '../support/until.ts';

const EVERY_MS = 2;
const PATIENCE_MS = 30_000;

describe('a backup taken while readings come in', () => {
  it('holds all that was acknowledged before it, a whole beginning of what was sent, and can be restored', async () => {
    const dir = tempDir();
    const env = { TONGSIDE_DATA_DIR: dir };
    const server = await runServer(env);
    const probe = new NumberedProbe(server.mqttUrl, EVERY_MS);
    const arrived = (more: number): Promise<true> => {
      const from = probe.acknowledged.size;
      return until('readings', () => (probe.acknowledged.size > from + more ? true : null), PATIENCE_MS);
    };
    await arrived(500);
    const before = probe.acknowledgedTimes().length;
    const backup = join(tempDir(), 'supper.backup');
    const taken = await runCommand('backup', [backup], env);
    expect(taken).toMatchObject({ code: 0, complained: '' });
    expect(taken.said.trimEnd().split('\n')).toHaveLength(1);
    await arrived(500);
    expect((await runCommand('backup', [backup], env)).code).toBe(1);
    const forced = await runCommand('restore', [backup, '--force'], env);
    expect(forced).toMatchObject({ code: 1, said: '' });
    expect(forced.complained).toMatch(/in use by a running Tongside/);
    await server.stop();

    const kept = storedTimes(join(backup, '..'), 'supper.backup');
    expect(kept.length).toBeGreaterThanOrEqual(before);
    expect(kept.length).toBeLessThan(probe.total);
    expect(kept).toEqual(probe.sentTimes().slice(0, kept.length));
    const restored = await runCommand('restore', [backup, '--force'], env);
    expect(restored.code).toBe(0);
    expect(restored.said).toContain(`${kept.length} readings`);
    expect(storedTimes(dir)).toEqual(kept);
    const again = await runServer(env);
    await again.stop();
    expect(storedTimes(dir)).toEqual(kept);
  });

  it('can be made of a server that was killed, and restored to another machine', async () => {
    const dir = tempDir();
    const server = await runServer({ TONGSIDE_DATA_DIR: dir });
    const probe = new NumberedProbe(server.mqttUrl, EVERY_MS);
    await until('readings', () => (probe.acknowledged.size > 300 ? true : null), PATIENCE_MS);
    await server.kill();
    probe.pause();
    const acknowledged = new Set(probe.acknowledgedTimes());
    const backup = join(tempDir(), 'b');
    expect((await runCommand('backup', [backup], { TONGSIDE_DATA_DIR: dir })).code).toBe(0);
    const other = join(tempDir(), 'other');
    expect((await runCommand('restore', [backup], { TONGSIDE_DATA_DIR: other })).code).toBe(0);
    const stored = new Set(storedTimes(other));
    expect([...acknowledged].filter((atMs) => !stored.has(atMs))).toEqual([]);
  });

  it('and a restore say how they are used when they are not called rightly', async () => {
    const env = { TONGSIDE_DATA_DIR: tempDir() };
    for (const [name, args] of [
      ['backup', []],
      ['backup', ['a', 'b']],
      ['backup', ['--help']],
      ['restore', []],
      ['restore', ['a', '--gently']],
    ] as const) {
      const ran = await runCommand(name, [...args], env);
      expect(ran).toMatchObject({ code: 2, said: '' });
      expect(ran.complained).toContain(`Usage: npm run ${name} --`);
    }
    const missing = await runCommand('restore', ['/nowhere/at-all'], env);
    expect(missing).toMatchObject({ code: 1, said: '' });
    expect(missing.complained).toMatch(/no such file/);
  });
});

describe('a data folder', () => {
  it('has one server at a time', async () => {
    const env = { TONGSIDE_DATA_DIR: tempDir() };
    const server = await runServer(env);
    const second = await refusedStart(env);
    expect(second.code).toBe(2);
    expect(second.said).toMatch(/in use by a running Tongside/);
    await server.kill();
    await (await runServer(env)).stop(); // a killed one leaves no lock behind
    expect(existsSync(join(env.TONGSIDE_DATA_DIR, 'tongside.db'))).toBe(true);
  });

  it('of a stopped server is one file that needs no log', async () => {
    const dir = tempDir();
    const server = await runServer({ TONGSIDE_DATA_DIR: dir });
    expect(await server.stop()).toBe(0);
    expect(existsSync(join(dir, 'tongside.db-wal'))).toBe(false);
  });
});
