// A headless Chromium, driven over its debugging pipe: no port, no further packages.

import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

export const findChromium = () => process.env.WARMBAY_CHROMIUM || 'chromium';

export class Browser {
  /// width, height: of the page, CSS pixels; ratio: device pixels each; touch: whether it has a touch screen.
  static async start({ width = 1280, height = 720, ratio = 1, touch = false } = {}) {
    const browser = new Browser();
    browser.profile = mkdtempSync(join(tmpdir(), 'warmbay-browser-'));
    browser.process = spawn(findChromium(), [
      '--headless=new', '--remote-debugging-pipe', '--no-sandbox', '--use-angle=swiftshader', '--enable-unsafe-swiftshader',
      '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync',
      '--disable-default-apps', '--disable-extensions', '--mute-audio', `--user-data-dir=${browser.profile}`,
      `--window-size=${width},${height}`, 'about:blank',
    ], { stdio: ['ignore', 'ignore', 'ignore', 'pipe', 'pipe'] });
    browser.answers = new Map();
    browser.listeners = [];
    browser.next = 1;
    let rest = '';
    browser.process.stdio[4].on('data', (chunk) => {
      rest += chunk;
      for (let end = rest.indexOf('\0'); end >= 0; end = rest.indexOf('\0')) {
        browser.hear(JSON.parse(rest.slice(0, end)));
        rest = rest.slice(end + 1);
      }
    });
    const { targetInfos } = await browser.ask('Target.getTargets');
    const page = targetInfos.find((one) => one.type === 'page');
    browser.session = (await browser.ask('Target.attachToTarget', { targetId: page.targetId, flatten: true })).sessionId;
    browser.console = [];
    browser.requests = [];
    browser.listeners.push((method, params) => {
      if (method === 'Runtime.consoleAPICalled')
        browser.console.push({ kind: params.type, text: params.args.map((a) => a.value ?? a.description ?? '').join(' ') });
      if (method === 'Runtime.exceptionThrown')
        browser.console.push({ kind: 'error', text: params.exceptionDetails.exception?.description ?? params.exceptionDetails.text });
      if (method === 'Log.entryAdded') browser.console.push({ kind: params.entry.level, text: params.entry.text });
      if (method === 'Network.requestWillBeSent') browser.requests.push(params.request.url);
    });
    for (const domain of ['Page', 'Runtime', 'Log', 'Network']) await browser.ask(`${domain}.enable`);
    await browser.ask('Emulation.setDeviceMetricsOverride', { width, height, deviceScaleFactor: ratio, mobile: touch });
    if (touch) await browser.ask('Emulation.setTouchEmulationEnabled', { enabled: true, maxTouchPoints: 5 });
    return browser;
  }

  hear(message) {
    if (message.id) {
      const { resolve, reject } = this.answers.get(message.id);
      this.answers.delete(message.id);
      if (message.error) reject(new Error(message.error.message));
      else resolve(message.result);
    } else {
      for (const listener of this.listeners) listener(message.method, message.params);
    }
  }

  ask(method, params = {}) {
    const id = this.next++;
    const sessionId = method.startsWith('Target.') || method.startsWith('Browser.') ? undefined : this.session;
    return new Promise((resolve, reject) => {
      this.answers.set(id, { resolve, reject });
      this.process.stdio[3].write(JSON.stringify({ id, method, params, sessionId }) + '\0');
    });
  }

  async open(address) {
    const loaded = new Promise((resolve) => this.listeners.push((method) => { if (method === 'Page.loadEventFired') resolve(); }));
    await this.ask('Page.navigate', { url: address });
    await loaded;
  }

  /// The value of an expression on the page; a promise is waited for.
  async value(expression) {
    const { result, exceptionDetails } = await this.ask('Runtime.evaluate', { expression, returnByValue: true, awaitPromise: true });
    if (exceptionDetails) throw new Error(exceptionDetails.exception?.description ?? exceptionDetails.text);
    return result.value;
  }

  /// Waits until an expression is true; throws after `seconds`.
  async until(expression, seconds) {
    const end = Date.now() + 1000 * seconds;
    while (!(await this.value(expression))) {
      if (Date.now() > end) throw new Error(`not within ${seconds} s: ${expression}`);
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
  }

  async click(x, y) {
    for (const type of ['mouseMoved', 'mousePressed', 'mouseReleased'])
      await this.ask('Input.dispatchMouseEvent', { type, x, y, button: type === 'mouseMoved' ? 'none' : 'left', clickCount: 1 });
  }

  async key(key, code, windowsVirtualKeyCode, text) {
    await this.ask('Input.dispatchKeyEvent', { type: text ? 'keyDown' : 'rawKeyDown', key, code, windowsVirtualKeyCode, text });
    await this.ask('Input.dispatchKeyEvent', { type: 'keyUp', key, code, windowsVirtualKeyCode });
  }

  /// What the page looks like, a PNG.
  async picture() {
    return Buffer.from((await this.ask('Page.captureScreenshot', { format: 'png' })).data, 'base64');
  }

  async close() {
    const gone = new Promise((resolve) => this.process.once('exit', resolve));
    this.ask('Browser.close').catch(() => {});
    await gone;
    rmSync(this.profile, { recursive: true, force: true, maxRetries: 10, retryDelay: 100 });
  }
}
