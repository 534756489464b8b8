import { createRequire } from 'node:module';
import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { connectAsync } from 'mqtt';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { Board } from '../../server/contract/board.ts';
import type { CookoutDetail } from '../../server/contract/api.ts';
import { openBrowser, openPage, SIZES } from '../support/browser.ts';
import { call, post } from '../support/http.ts';
import { runDemo } from '../support/run-demo.ts';
import { runServer } from '../support/run-server.ts';
import { tempDir } from '../support/temp-dir.ts';
import { until } from '../support/until.ts';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const WCAG = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];

type Violation = { id: string; nodes: { html: string }[] };

async function violations(page: Page): Promise<string[]> {
  await page.evaluate(AXE);
  const found = await page.evaluate(async (tags) => {
    type Axe = { run: (root: Document, options: unknown) => Promise<{ violations: Violation[] }> };
    const { axe } = globalThis as typeof globalThis & { axe: Axe };
    const { violations: all } = await axe.run(document, { runOnly: { type: 'tag', values: tags } });
    return all;
  }, WCAG);
  return found.map((v) => `${v.id}: ${v.nodes[0]?.html ?? ''}`);
}

async function busyDemo(): Promise<{ url: string; board: Board; rowOf: (short: string) => string }> {
  const { url } = await runDemo(['--speed', '1', '--patience', '3000']);
  const board = await until(
    'the busy board',
    async () => {
      const { body } = await call<Board>(`${url}/api/board`);
      return body.rows.filter((r) => r.kind === 'cook' && r.tempC !== null).length >= 4 ? body : null;
    },
    60_000,
  );
  return { url, board, rowOf: (short) => board.rows.find((r) => r.short === short)?.id ?? '' };
}

describe('the screens', { timeout: 240_000 }, () => {
  it('fit, carry the demo mark and pass the accessibility rules at three sizes in both modes', async () => {
    const { url, board, rowOf } = await busyDemo();
    const paths = [
      '#/',
      `#/item/${rowOf('Pork')}`,
      '#/plan',
      '#/probes',
      '#/found',
      `#/record/${board.cookout?.id ?? ''}`,
      '#/holds',
      '#/reach',
    ];
    const browser = await openBrowser();
    for (const size of ['tablet', 'upright', 'phone'] as const) {
      const page = await openPage(browser, `${url}/`, size);
      for (const mode of ['sun', 'dusk']) {
        await page.evaluate((m) => localStorage.setItem('tongside.mode', m), mode);
        for (const path of paths) {
          const where = `${path} ${size} ${mode}`;
          await page.goto(`${url}/${path}`);
          await page.reload();
          await page.locator('h1').first().waitFor();
          await page.waitForTimeout(700);
          expect(await page.locator('html').getAttribute('data-mode'), where).toBe(mode);
          const widthPx = await page.evaluate(() => document.documentElement.scrollWidth);
          expect(widthPx, where).toBeLessThanOrEqual(SIZES[size].width);
          expect(await violations(page), where).toEqual([]);
          if (path === '#/') expect(await page.getByText('Demo data').first().isVisible(), where).toBe(true);
        }
      }
      await page.close();
    }
  });

  it('open an item from its row, with a chart, and take a check by hand', async () => {
    const { url, board, rowOf } = await busyDemo();
    const page = await openPage(await openBrowser(), `${url}/`);
    await page.locator('.first-card').click();
    await page.locator(`a[href="#/item/${rowOf('Trout')}"]`).click();
    await page.locator('canvas').waitFor();
    expect(await page.locator('h1').first().textContent()).toContain('trout');
    const drawn = await page.locator('canvas').evaluate((canvas: HTMLCanvasElement) => {
      const { data } = canvas.getContext('2d')?.getImageData(0, 0, canvas.width, canvas.height) ?? {
        data: [],
      };
      return [...data].some((value) => value > 0);
    });
    expect(drawn).toBe(true);
    await page.getByRole('button', { name: 'Spot check' }).click();
    for (const digit of ['5', '8']) await page.getByRole('button', { name: digit, exact: true }).click();
    await page.getByRole('button', { name: /^Save/ }).click();
    const check = await until('the spot check', async () => {
      const { body } = await call<CookoutDetail>(`${url}/api/cookouts/${board.cookout?.id ?? ''}`);
      return body.spotChecks[0] ?? null;
    });
    expect(check.tempC).toBe(58);
  });

  it('say that the link is lost within 20 s, show no old number as live, and recover by themselves', async () => {
    const server = await runServer({ TONGSIDE_DATA_DIR: tempDir() });
    const cookout = await post(`${server.httpUrl}/api/cookouts`, { name: 'Lost link', ruleSet: 'uk' });
    const bag = { kind: 'cooler', name: 'Raw meat', sensorIds: ['bag'] };
    await post(`${server.httpUrl}/api/cookouts/${cookout.body.id}/places`, bag);
    const probe = await connectAsync(server.mqttUrl);
    onTestFinished(() => probe.endAsync(true));
    await probe.publishAsync('tongside/reading/bag', '3.5', { qos: 1 });
    const page = await openPage(await openBrowser(), `${server.httpUrl}/`);
    const temp = page.locator('a[data-state] .temp');
    await page.getByText('3.5°').first().waitFor();
    server.child.kill('SIGSTOP');
    const stoppedMs = performance.now();
    await page
      .getByText(/No link since/)
      .first()
      .waitFor({ timeout: 25_000 });
    expect(performance.now() - stoppedMs).toBeLessThan(22_000);
    expect(await page.locator('a[data-state] .number').allTextContents()).toEqual(['?']);
    expect(await temp.first().getAttribute('class')).toContain('struck');
    server.child.kill('SIGCONT');
    await page
      .getByText(/No link since/)
      .first()
      .waitFor({ state: 'detached', timeout: 25_000 });
  });
});
