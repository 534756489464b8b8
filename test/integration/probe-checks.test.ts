import { connectAsync } from 'mqtt';
import { describe, expect, it } from 'vitest';
import { RecordSchema } from '../../server/contract/api.ts';
import { BoardSchema } from '../../server/contract/board.ts';
import { CheckAnswerSchema, ProbeHistorySchema, SensorViewSchema } from '../../server/contract/probe.ts';
import { call, post } from '../support/http.ts';
import { runServer } from '../support/run-server.ts';
import { tempDir } from '../support/temp-dir.ts';
import { until } from '../support/until.ts';

/** A probe that has stood at one temperature for the last seventy seconds. */
async function standing(mqttUrl: string, sensorId: string, tempC: number): Promise<void> {
  const client = await connectAsync(mqttUrl);
  const nowMs = Date.now();
  for (let ageS = 70; ageS >= 0; ageS -= 5) {
    const payload = JSON.stringify({ value: tempC, time: nowMs - ageS * 1000 });
    await client.publishAsync(`tongside/reading/${sensorId}`, payload, { qos: 1 });
  }
  await client.endAsync();
}
const sensorOf = async (api: string, id: string) => {
  const { body } = await call<unknown[]>(`${api}/sensors`);
  return body.map((one) => SensorViewSchema.parse(one)).find((one) => one.id === id);
};

describe('a probe that failed its check', () => {
  it('says so in the list, on the board, in the record and in the CSV, also after a restart', async () => {
    const dataDir = tempDir();
    const first = await runServer({ TONGSIDE_DATA_DIR: dataDir });
    let api = `${first.httpUrl}/api`;
    const cookout = await post(`${api}/cookouts`, { name: 'Test supper', ruleSet: 'uk', guests: 20 });
    const place = { kind: 'cooler', name: 'Trout bag', sensorIds: ['bag'] };
    await post(`${api}/cookouts/${cookout.body.id}/places`, place);
    await standing(first.mqttUrl, 'bag', 2.4);
    expect(await sensorOf(api, 'bag')).toMatchObject({ lastValueC: 2.4, standing: 'never' });

    const answer = CheckAnswerSchema.parse((await post(`${api}/sensors/bag/checks`, { kind: 'ice' })).body);
    expect(answer.check).toMatchObject({ rawC: 2.4, outcome: 'failed' });
    expect(answer.offers).toMatchObject([{ kind: 'one-point', offsetC: -2.4 }]);
    const corrected = await post<{ fromMs: number }>(`${api}/sensors/bag/corrections`, {
      kind: 'one-point',
      checkIds: [answer.check.id],
    });
    expect(corrected.body.fromMs).toBeGreaterThan(Date.now());

    await first.stop();
    const again = await runServer({ TONGSIDE_DATA_DIR: dataDir });
    api = `${again.httpUrl}/api`;
    expect(await sensorOf(api, 'bag')).toMatchObject({ standing: 'failed', lastCheck: answer.check });
    const history = ProbeHistorySchema.parse((await call(`${api}/sensors/bag/checks`)).body);
    expect(history).toEqual({ checks: [answer.check], corrections: [corrected.body] });
    const row = await until('the row of the bag', async () => {
      const board = BoardSchema.parse((await call(`${api}/board`)).body);
      return board.rows.find((one) => one.sensorId === 'bag') ?? null;
    });
    expect(row.probe).toBe('failed');

    const record = RecordSchema.parse((await call(`${api}/cookouts/${cookout.body.id}/record.json`)).body);
    expect(record.traces[0]?.probes).toMatchObject([
      { sensorId: 'bag', standing: 'failed', checks: [{ id: answer.check.id }] },
    ]);
    const csv = await call<string>(`${api}/cookouts/${cookout.body.id}/record.csv`);
    const [header, ...lines] = csv.body.trimEnd().split('\r\n');
    expect(header).toContain('temp_c,quality,raw_c,correction_gain,correction_offset_c,reasons,probe_check');
    expect(lines.at(-1)).toMatch(/,bag,Trout bag,2\.4,3,2\.4,,,[a-z ]*,failed,\d{4}-/);
  });
});
