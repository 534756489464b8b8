import type { MqttClient } from 'mqtt';
import { connectAsync } from 'mqtt';
import type { Page } from 'playwright-core';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { CookoutDetail } from '../../server/contract/api.ts';
import type { FoundTopic, ProbeHistory, SensorView } from '../../server/contract/probe.ts';
import { openBrowser, openPage } from '../support/browser.ts';
import { call, post } from '../support/http.ts';
import { runServer } from '../support/run-server.ts';
import { tempDir } from '../support/temp-dir.ts';
import { until } from '../support/until.ts';

type Evening = { url: string; cookoutId: string; batchId: string; air: MqttClient };

/** A server with one invented dish that has no probe yet, and a client that publishes what devices would. */
async function evening(): Promise<Evening> {
  const server = await runServer({ TONGSIDE_DATA_DIR: tempDir() });
  const url = server.httpUrl;
  const cookout = await post(`${url}/api/cookouts`, {
    name: 'Harvest supper',
    ruleSet: 'uk',
    altitudeM: 180,
  });
  const dish = await post(`${url}/api/cookouts/${cookout.body.id}/dishes`, {
    name: 'Chicken thighs',
    food: 'chicken',
    shape: 'slab',
    thicknessMm: 26,
    targetC: 75,
  });
  const batch = await post(`${url}/api/dishes/${dish.body.id}/batches`, { pieces: 20 });
  expect(batch.status).toBe(201);
  const air = await connectAsync(server.mqttUrl);
  onTestFinished(() => air.endAsync(true));
  return { url, cookoutId: cookout.body.id, batchId: batch.body.id, air };
}

async function publish(air: MqttClient, tempsC: Record<string, number>): Promise<void> {
  for (const [sensor, tempC] of Object.entries(tempsC))
    await air.publishAsync(`tongside/reading/${sensor}`, String(tempC), { qos: 1 });
}

async function openAt(url: string, hash: string): Promise<Page> {
  const page = await openPage(await openBrowser(), `${url}/${hash}`);
  await page.locator('h1').first().waitFor();
  return page;
}

describe('a probe warmed in the hand', { timeout: 90_000 }, () => {
  it('is marked by its rise, and one press puts it where it was meant to go', async () => {
    const { url, cookoutId, batchId, air } = await evening();
    await publish(air, { red: 19.8, blue: 20.1, bag: 4.2 });
    const page = await openAt(url, '#/probes');
    await page.getByRole('button', { name: /Warm it in the hand/ }).click();
    const lines = page.locator('.pr-hand');
    await until('the values at the start', async () => ((await lines.count()) === 3 ? true : null));
    await page.getByLabel('It goes into').selectOption({ value: `batch:${batchId}` });
    expect(await page.getByText('None is clearly ahead yet.').isVisible()).toBe(true);
    for (const tempC of [20.9, 22, 23.1]) {
      await page.waitForTimeout(1_100);
      await publish(air, { red: 19.8, blue: tempC, bag: 4.3 });
    }
    const risen = page.locator('.pr-rising');
    await risen.waitFor({ timeout: 8_000 });
    expect(await risen.textContent()).toContain('blue');
    expect(await risen.textContent()).toContain('+3.0°');
    await page.getByRole('button', { name: 'Put blue in Chicken thighs, 1st' }).click();
    await page.getByText('blue sits in Chicken thighs, 1st now.').waitFor();
    const { body } = await call<CookoutDetail>(`${url}/api/cookouts/${cookoutId}`);
    expect(body.batches.map(({ sensorId }) => sensorId)).toEqual(['blue']);
  });
});

describe('a check in ice water', { timeout: 90_000 }, () => {
  it('that fails says so with its numbers, offers a correction, and is told wherever the probe is used', async () => {
    const { url, batchId, air } = await evening();
    await publish(air, { red: 19.8 });
    await call(`${url}/api/batches/${batchId}`, { method: 'PATCH', body: { sensorId: 'red' } });
    const page = await openAt(url, '#/probes');
    await page.getByText('Never checked').waitFor();
    await page.getByRole('button', { name: 'Check it: red' }).click();

    const typed = page.getByLabel('Or type what it reads');
    await typed.fill('cold');
    await page.getByRole('button', { name: /^Take/ }).click();
    await page.getByText(/Type what it reads, like 0.4/).waitFor();
    expect(await typed.inputValue()).toBe('cold');

    await typed.fill('1,6');
    await page.getByRole('button', { name: 'Take 1,6°' }).click();
    await page.getByText(/Ice check failed: it read 1\.6°\. Ice water is 0\.0°/).waitFor();
    await page.getByRole('button', { name: 'Correct it by -1.6° from now on' }).click();
    await page.getByText(/Corrected by -1\.6° from \d\d:\d\d on/).waitFor();

    const { body: history } = await call<ProbeHistory>(`${url}/api/sensors/red/checks`);
    expect(history.checks.map(({ outcome, readC }) => [outcome, readC])).toEqual([['failed', 1.6]]);
    expect(history.corrections.map(({ kind, offsetC }) => [kind, offsetC])).toEqual([['one-point', -1.6]]);

    await page.getByRole('button', { name: 'Close' }).click();
    await page.getByText('Checks and corrections so far').click();
    await page.getByText(/Ice check failed: read 1\.6°, should read 0\.0°/).waitFor();

    await page.goto(`${url}/#/`);
    const row = page.locator('a[data-state]').first();
    await until('the row that says it', async () =>
      ((await row.textContent()) ?? '').includes('its probe failed its check') ? true : null,
    );
  });

  it('takes no reading that nobody can vouch for, and says what to do at its field', async () => {
    const { url, air } = await evening();
    await publish(air, { red: 0.3 });
    const page = await openAt(url, '#/probes');
    await page.getByRole('button', { name: 'Check it: red' }).click();
    await page.getByRole('button', { name: 'Take this reading' }).click();
    await page.locator('.pg-wrong .pg-complaint').waitFor();
    const { body } = await call<ProbeHistory>(`${url}/api/sensors/red/checks`);
    expect(body.checks).toEqual([]);
  });
});

describe('what was heard and not understood', { timeout: 90_000 }, () => {
  it('becomes a probe by a press on the value, after the page has shown what it would read', async () => {
    const { url, air } = await evening();
    const state = JSON.stringify({ id: 'box-a', temp: { value: 145.4, unit: 'F' }, batt: 87 });
    await air.publishAsync('yard/box', state, { qos: 1 });
    const page = await openAt(url, '#/probes');
    await page.getByRole('link', { name: 'Heard but not understood: 1 topic' }).click();
    await page.getByRole('button', { name: 'Use 145.4, /temp/value' }).click();
    expect(await page.getByLabel('What the number is').inputValue()).toBe('told');
    await page.getByLabel('The name of the probe').selectOption('json /id');
    await page.getByLabel('Its battery, in percent').selectOption('/batt');
    await page.getByText('box-a 63.0 °C').waitFor(); // 145.4 degF = 63 degC: (F - 32) * 5 / 9
    await page.getByText('box-a battery 87 %').waitFor();
    const before = await call<SensorView[]>(`${url}/api/sensors`);
    expect(before.body).toEqual([]);
    await page.getByRole('button', { name: 'Use this rule' }).click();
    await page.getByText(/yard\/box is understood from now on/).waitFor();

    await air.publishAsync('yard/box', state, { qos: 1 });
    const box = await until('the probe', async () => {
      const { body } = await call<SensorView[]>(`${url}/api/sensors`);
      return body.find(({ id }) => id === 'box-a') ?? null;
    });
    expect(box.lastValueC).toBeCloseTo(63, 6);
    expect((await call<FoundTopic[]>(`${url}/api/found`)).body).toEqual([]);
  });

  it('is read alone with all defaults: other probes on the built-in topic stay in Celsius', async () => {
    const { url, air } = await evening();
    // refused: the unit is one that the built-in topic does not know as it stands there
    const own = JSON.stringify({ reading: 150, unit: 'F' });
    await air.publishAsync('tongside/reading/F2', own, { qos: 1 });
    const page = await openAt(url, '#/found');
    await page.getByRole('button', { name: 'Use 150, /reading' }).click();
    expect(await page.getByLabel('What the number is').inputValue()).toBe('told');
    expect(await page.getByLabel(/The same for every other name/).count()).toBe(0);
    await page.getByText('F2 65.6 °C').waitFor(); // (150 - 32) * 5 / 9 = 65.56
    await page.getByRole('button', { name: 'Use this rule' }).click();
    await page.getByText(/F2 is understood from now on/).waitFor();
    await publish(air, { blue: 63 });
    await air.publishAsync('tongside/reading/F2', own, { qos: 1 });
    const both = await until('both probes', async () => {
      const { body } = await call<SensorView[]>(`${url}/api/sensors`);
      return body.length === 2 ? body : null;
    });
    const values = Object.fromEntries(both.map(({ id, lastValueC }) => [id, lastValueC]));
    expect(values['blue']).toBe(63);
    expect(values['F2']).toBeCloseTo(65.56, 2);
  });

  it('with two probes in it says what stays unread, and takes both with one tick', async () => {
    const { url, air } = await evening();
    const list = JSON.stringify({
      probes: [
        { id: 'pa', temp: 63 },
        { id: 'pb', temp: 4.5 },
      ],
    });
    await air.publishAsync('yard/box', list, { qos: 1 });
    const page = await openAt(url, '#/found');
    await page.getByRole('button', { name: 'Use 63, /probes/0/temp' }).click();
    await page.getByText('Stays unread: 4.5 at /probes/1/temp.').waitFor();
    await page.getByLabel('And the others like it: no. 1').check();
    await page.getByText('pa 63.0 °C').waitFor();
    await page.getByText('pb 4.5 °C').waitFor();
    expect(await page.getByText(/Stays unread/).count()).toBe(0);
    await page.getByRole('button', { name: 'Use this rule' }).click();
    await page.getByText(/yard\/box is understood from now on/).waitFor();
    await air.publishAsync('yard/box', list, { qos: 1 });
    await until('both probes', async () => {
      const { body } = await call<SensorView[]>(`${url}/api/sensors`);
      return body.length === 2 ? body : null;
    });
  });

  it('of two devices is read with a rule for each: neither shuts the other out', async () => {
    const { url, air } = await evening();
    const send = async (): Promise<void> => {
      await air.publishAsync('kitchen/a', '{"temp":63}', { qos: 1 });
      await air.publishAsync('kitchen/b', '{"celsius":4.5}', { qos: 1 });
    };
    await send();
    const page = await openAt(url, '#/found');
    await page.getByRole('button', { name: 'Use 63, /temp' }).click();
    await page.getByText(/the last message of kitchen\/b has no number at \/temp/).waitFor();
    await page.getByRole('button', { name: 'Use this rule' }).click();
    await page.getByText(/kitchen\/a is understood from now on/).waitFor();
    await page.getByRole('button', { name: 'Use 4.5, /celsius' }).click();
    await page.getByText('b 4.5 °C').waitFor();
    await page.getByRole('button', { name: 'Use this rule' }).click();
    await page.getByText(/kitchen\/b is understood from now on/).waitFor();
    await send();
    const both = await until('both probes', async () => {
      const { body } = await call<SensorView[]>(`${url}/api/sensors`);
      return body.length === 2 ? body : null;
    });
    expect(both.map(({ id, lastValueC }) => [id, lastValueC]).sort()).toEqual([
      ['a', 63],
      ['b', 4.5],
    ]);
  });

  it('stays text, whatever its topic and its payload are', async () => {
    const { url, air } = await evening();
    const page = await openAt(url, '#/found');
    const hostile = '<img src=x onerror="document.title=\'taken\'">';
    await air.publishAsync(
      `yard/${hostile.replaceAll('+', '')}`,
      JSON.stringify({ [hostile]: hostile, n: 1 }),
      {
        qos: 1,
      },
    );
    await page.locator('.fd-topic').filter({ hasText: '<img' }).waitFor();
    await page.locator('.fd-name').filter({ hasText: '<img' }).waitFor();
    expect(await page.locator('main img').count()).toBe(0);
    expect(await page.title()).not.toBe('taken');
  });

  it('lets the rules be written as text, lists every problem by its place, and loses nothing', async () => {
    const { url } = await evening();
    const page = await openAt(url, '#/found');
    const text = page.getByLabel('Rules', { exact: true });
    const save = page.getByRole('button', { name: 'Save the rules' });
    await text.fill('{"version": 1,');
    await save.click();
    await page.getByText(/This is no JSON/).waitFor();
    expect(await text.inputValue()).toBe('{"version": 1,');

    const wrong = { version: 1, rules: [{ id: 'A B', filter: 'a/#/b', typo: 1 }] };
    await text.fill(JSON.stringify(wrong));
    await save.click();
    await page.locator('.fd-problems code', { hasText: 'rules.0.id' }).waitFor();
    const paths = await page.locator('.fd-problems code').allTextContents();
    expect(paths).toEqual(expect.arrayContaining(['rules.0.id', 'rules.0.filter', 'rules.0.typo']));
    expect(await text.inputValue()).toBe(JSON.stringify(wrong));

    const right = {
      version: 1,
      rules: [
        {
          id: 'yard',
          filter: 'yard/+',
          format: 'number',
          sensor: { from: 'topic', level: 1 },
          values: [{ quantity: 'temperature', unit: 'K' }],
        },
      ],
    };
    await text.fill(JSON.stringify(right));
    await save.click();
    await page.getByText('Saved: in force from now on').waitFor();
    const { body } = await call<{ mapping: unknown }>(`${url}/api/mapping`);
    expect(body.mapping).toEqual(right);
  });
});
