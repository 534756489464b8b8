import { existsSync } from 'node:fs';
import { chromium, type Browser, type Page } from 'playwright-core';
import { onTestFinished } from 'vitest';

const INSTALLED = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];
const ARGS = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** `$CHROMIUM_PATH`, else an installed Chromium, else the one inside a dev dependency; never none in silence. */
async function chromiumPath(): Promise<string> {
  const named = process.env['CHROMIUM_PATH'];
  if (named) return named;
  const installed = INSTALLED.find((path) => existsSync(path));
  if (installed) return installed;
  const { default: packed } = await import('@sparticuz/chromium');
  return packed.executablePath();
}

export async function openBrowser(): Promise<Browser> {
  const browser = await chromium.launch({ executablePath: await chromiumPath(), args: ARGS, headless: true });
  onTestFinished(() => browser.close());
  return browser;
}

export const SIZES = {
  tablet: { width: 1280, height: 800 },
  upright: { width: 800, height: 1280 },
  phone: { width: 390, height: 844 },
} as const;

/** A page that fails the test on any error of its own. */
export async function openPage(
  browser: Browser,
  url: string,
  size: keyof typeof SIZES = 'tablet',
): Promise<Page> {
  const page = await browser.newPage({ viewport: SIZES[size] });
  const errors: string[] = [];
  page.on('pageerror', (error) => errors.push(error.message));
  onTestFinished(() => {
    if (errors.length > 0) throw new Error(`the page failed: ${errors.join('; ')}`);
  });
  await page.goto(url);
  return page;
}
