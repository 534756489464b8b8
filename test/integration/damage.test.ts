import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { SensorView } from '../../server/contract/probe.ts';
import { DAMAGES, fingerprint, folderOfAStoppedServer } from '../support/damage.ts';
import { call } from '../support/http.ts';
import { runCommand } from '../support/run-command.ts';
import { refusedStart, runServer } from '../support/run-server.ts';
import { storedTimes } from '../support/stored.ts';
import { tempDir } from '../support/temp-dir.ts';

describe('a damaged database', () => {
  it.each(DAMAGES)(
    'keeps the server from starting, with a text that says what to do: $name',
    async (damage) => {
      const dir = damage.folder();
      damage.harm(dir);
      const before = fingerprint(dir);
      const { code, said } = await refusedStart({ TONGSIDE_DATA_DIR: dir });
      expect(code).toBe(2);
      expect(said).toContain('Tongside was not started');
      expect(said).toContain(join(dir, damage.file));
      expect(said).toMatch(/Nothing was changed.*npm run restore -- BACKUP --force/);
      expect(said.trimEnd().split('\n')).toHaveLength(1);
      expect(fingerprint(dir)).toEqual(before);
    },
  );

  it('gives way to a backup, after which the server starts with what the backup holds', async () => {
    const dir = folderOfAStoppedServer();
    const env = { TONGSIDE_DATA_DIR: dir };
    const backup = join(tempDir(), 'supper.backup');
    expect(await runCommand('backup', [backup], env)).toMatchObject({ code: 0, complained: '' });
    DAMAGES[0]!.harm(dir);
    const damaged = readFileSync(join(dir, 'tongside.db'));
    expect((await refusedStart(env)).code).toBe(2);
    expect((await runCommand('restore', [backup], env)).complained).toMatch(/--force/);
    const { code, said } = await runCommand('restore', [backup, '--force'], env);
    expect(code).toBe(0);
    const kept = /kept as (\S+)/.exec(said)?.[1] ?? '';
    expect(readFileSync(kept).equals(damaged)).toBe(true);
    const server = await runServer(env);
    const sensors = await call<SensorView[]>(`${server.httpUrl}/api/sensors`);
    expect(sensors.body.map((s) => s.id)).toEqual(['left']);
    expect(storedTimes(dir)).toHaveLength(20_500);
  });
});
