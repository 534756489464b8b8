import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import type { CookoutRecord } from '../../server/contract/api.ts';
import type { Board } from '../../server/contract/board.ts';
import { openBrowser, openPage } from '../support/browser.ts';
import { call } from '../support/http.ts';
import { runDemo } from '../support/run-demo.ts';

const SPEED = 24;
/** The invented cook waits for so long that the hand on the screen is always first, simulated s. */
const PATIENCE_S = 3_000;
const WITHIN_MS = 280_000;
const LOOK_MS = 250;

/** What a person sees of the chicken and of strip 1 at one glance. */
type Glance = {
  verb: string;
  isNow: boolean;
  button: string;
  state: string;
  name: string;
  temp: string;
  number: string;
  sentence: string;
  coals: number;
};

/** One consistent look, straight from the rendered page. */
function glance(page: Page): Promise<Glance> {
  return page.evaluate(() => {
    const text = (root: ParentNode | null | undefined, selector: string): string =>
      root?.querySelector(selector)?.textContent.trim() ?? '';
    const row = [...document.querySelectorAll('a[data-state]')].find((r) =>
      text(r, '.name').startsWith('Chicken'),
    );
    const strip = document.querySelector('.one');
    return {
      verb: text(strip, '.verb'),
      isNow: strip?.classList.contains('now') === true,
      button: text(strip, '.main'),
      state: row?.getAttribute('data-state') ?? 'none',
      name: text(row, '.name'),
      temp: text(row, '.temp'),
      number: text(row, '.number'),
      sentence: text(row, '.vh'),
      coals: row?.querySelectorAll('.coal').length ?? 0,
    };
  });
}

/** Follows the screen as the cook until the chicken is served; what was seen, in order, without repeats. */
async function followTheScreen(page: Page, url: string): Promise<{ glances: Glance[]; pressed: string[] }> {
  const glances: Glance[] = [];
  const pressed: string[] = [];
  const endMs = performance.now() + WITHIN_MS;
  while (performance.now() < endMs) {
    const seen = await glance(page);
    if (JSON.stringify(seen) !== JSON.stringify(glances.at(-1))) glances.push(seen);
    if (pressed.at(-1) === 'Serve chicken' && (await recorded(url)).steps.at(-1) === 'served')
      return { glances, pressed };
    if (seen.isNow || seen.button === 'I see it') {
      await page.locator('.one .main').click({ timeout: 5_000 });
      pressed.push(seen.button === 'I see it' ? `I see it: ${seen.verb}` : seen.verb);
      await page.waitForTimeout(700); // a tap just after a change of the strip is not taken: by design
    }
    await page.waitForTimeout(LOOK_MS);
  }
  throw new Error(
    `not served in time; pressed: ${pressed.join(', ')}; last: ${JSON.stringify(glances.at(-1))}`,
  );
}

describe('one batch on the screen', () => {
  it(
    'is followed from put on to served, and the screen says each thing in its time',
    { timeout: 400_000 },
    async () => {
      const args = [
        '--speed',
        String(SPEED),
        '--start',
        'whole',
        '--patience',
        String(PATIENCE_S),
        '--seed',
        '7',
      ];
      const { url } = await runDemo(args);
      const page = await openPage(await openBrowser(), `${url}/`);
      await page.locator('a[data-state]').first().waitFor({ timeout: 60_000 });
      await page.locator('.first-card').click({ timeout: 5_000 });
      const { glances, pressed } = await followTheScreen(page, url);

      // a tap that falls on a changing strip is not taken and is pressed again, so the record tells what was done
      const { steps, highestC } = await recorded(url);
      expect(steps[0]).toBe('on');
      expect(steps.slice(-2)).toEqual(['off', 'served']);
      expect(steps.filter((step) => step === 'turned').length).toBeGreaterThan(1);
      for (const verb of ['Put on', 'Turn', 'Take off', 'Serve'])
        expect(pressed).toContain(`${verb} chicken`);
      expect(pressed.some((p) => p.startsWith('I see it: Trout bag'))).toBe(true);

      const told = glances.map((g) => g.state).filter((s) => s !== 'none');
      const states = told.filter((s, i) => s !== told[i - 1]);
      expect(states[0]).toBe('waiting');
      const order = ['waiting', 'learning', 'forecast', 'resting'];
      expect(order.map((s) => states.indexOf(s))).toEqual(
        [...order.map((s) => states.indexOf(s))].sort((a, b) => a - b),
      );
      for (const state of order) expect(states).toContain(state);

      // a forecast is ten marks and a range; learning is neither
      for (const g of glances.filter((s) => s.state === 'learning')) {
        expect(g.coals).toBe(0);
        expect(g.number).toBe('–');
      }
      const forecasts = glances.filter((g) => g.state === 'forecast');
      expect(forecasts.length).toBeGreaterThan(5);
      for (const g of forecasts) expect(g.coals, g.sentence).toBe(10);
      expect(forecasts.some((g) => /^\d+–\d+$/.test(g.number))).toBe(true);

      // "take off" is never said below the target, and the record knows when it was reached
      const due = glances.filter(
        (g) => g.verb === 'Take off chicken' && g.isNow && ['ready', 'overdue'].includes(g.state),
      );
      expect(due.length).toBeGreaterThan(0);
      for (const g of due) expect(Number(/^\d+/.exec(g.temp)?.[0]), g.temp).toBeGreaterThanOrEqual(75);
      expect(highestC).toBeGreaterThanOrEqual(75);
    },
  );
});

async function recorded(url: string): Promise<{ steps: string[]; highestC: number }> {
  const { body: board } = await call<Board>(`${url}/api/board`);
  const { body } = await call<CookoutRecord>(`${url}/api/cookouts/${board.cookout?.id ?? ''}/record.json`);
  const mine = body.steps.filter((s) => s.name === 'Chicken thighs, 1st' && s.step !== 'packed');
  const trace = body.traces.find((t) => t.name === 'Chicken thighs, 1st');
  return { steps: mine.map((s) => s.step), highestC: trace?.highestC ?? NaN };
}
