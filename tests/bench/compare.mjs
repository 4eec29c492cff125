// Pullmark's reading beside other readers, in one browser and one run.
//
//   node tests/bench/compare.mjs [--rounds 5] [--logs small,dense,sparse] [--readers papaparse,…]
//                                [--built] [--large]
//
// Builds the site, installs the pinned peers, makes the logs (target/bench/), and
// drives Debian's Chromium. Every measurement has a fresh browser; the reader is
// made ready, rests, and is handed the file by a file field. The clock runs from there to
// the sum over the finished columns of numbers, which must be the same for all. Memory is
// what the renderer's process holds beyond its rest; it is seen in a round of its own,
// as looking stops the process for a while each time.
// It is a benchmark and no test: nothing fails because it is slow.
import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';

import { LARGE, LOGS, made } from './logs.mjs';
import { serve } from './serve.mjs';

// Ours as on the page, where its worker reads a table of its own before the first file
// comes, and without that; the peers without that too, and the quickest of them with.
const READERS = [
  'Pullmark', 'Pullmark cold', 'Pullmark to log',
  'papaparse', 'udsv', 'd3-dsv', 'duckdb-wasm', 'd3-dsv warmed',
].join();
const here = dirname(fileURLToPath(import.meta.url));
const root = join(here, '..', '..');
const folder = join(root, 'target', 'bench');
const { values: words } = parseArgs({
  options: {
    rounds: { type: 'string', default: '5' },
    logs: { type: 'string', default: 'small,dense,sparse' },
    readers: { type: 'string', default: READERS },
    built: { type: 'boolean', default: false },
    large: { type: 'boolean', default: false },
    keep: { type: 'boolean', default: false },
  },
});

const run = (program, args, cwd = root) => execFileSync(program, args, { cwd, stdio: 'inherit' });
if (!words.built) run('cargo', ['site', 'build']);
if (!existsSync(join(here, 'node_modules'))) run('npm', ['ci', '--no-audit', '--no-fund'], here);
const { chromium } = await import('playwright-core');
const site = await serve({ bench: here, site: join(root, 'dist'), peers: join(here, 'node_modules') });

async function browser() {
  return chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
  });
}

// The renderer's share of memory in MB, read from the system every 20 ms; Linux only.
async function watched(chrome, watch, work) {
  if (!watch) return work();
  const session = await chrome.newBrowserCDPSession();
  const { processInfo } = await session.send('SystemInfo.getProcessInfo');
  const renderers = processInfo.filter(({ type }) => type === 'renderer').map(({ id }) => id);
  const held = () => Math.max(...renderers.map((id) => {
    try {
      return Number(/^Pss:\s+(\d+)/m.exec(readFileSync(`/proc/${id}/smaps_rollup`, 'utf8'))[1]) / 1024;
    } catch {
      return 0;
    }
  }));
  const rest = held();
  let peak = rest;
  const timer = setInterval(() => { peak = Math.max(peak, held()); }, 20);
  try {
    const found = await work();
    return { ...found, mb: Math.max(peak, held()) - rest };
  } finally {
    clearInterval(timer);
  }
}

// What a peer reads before it is measured: as much as our worker makes up.
const before = () => readFileSync(made(LOGS[0], folder).path, 'utf8').slice(0, 1.5e6);

const pause = (ms) => new Promise((resolve) => { setTimeout(resolve, ms); });

// From the handed file to columns of numbers, in the reader's worker.
async function columns(reader, log, watch) {
  const chrome = await browser();
  try {
    const page = await chrome.newPage();
    await page.goto(`${site.address}/bench/bench.html`);
    await page.evaluate(([name, text]) => window.ready(name, text), [reader, before()]);
    await page.setInputFiles('#pick', log.path);
    await pause(300);
    return await watched(chrome, watch, () => page.evaluate(() => window.run()));
  } finally {
    await chrome.close();
  }
}

// From the file chosen on the real page to its sheet shown, or the words of a refusal.
async function sheet(log, watch) {
  const chrome = await browser();
  try {
    const page = await chrome.newPage();
    await page.goto(`${site.address}/site/`);
    await page.waitForSelector('#open-sample');
    await pause(500);
    await page.evaluate(() => {
      window.shown = new Promise((resolve) => {
        document.querySelector('#pick').addEventListener('change', () => {
          const began = performance.now();
          const look = () => {
            const refused = document.querySelector('[role="alert"]');
            const done = document.querySelector('[data-log]');
            if (refused || done) {
              const ms = performance.now() - began;
              resolve({ ms, refused: refused && !done ? refused.textContent : null });
            }
            return refused || done;
          };
          const observer = new MutationObserver(() => { if (look()) observer.disconnect(); });
          observer.observe(document.body, { childList: true, subtree: true, characterData: true });
        }, { capture: true });
      });
    });
    return await watched(chrome, watch, async () => {
      await page.setInputFiles('#pick', log.path);
      return page.evaluate(() => window.shown);
    });
  } finally {
    await chrome.close();
  }
}

const median = (values) => values.toSorted((a, b) => a - b)[values.length >> 1];

async function rounds(names, log) {
  const runs = new Map(names.map((name) => [name, []]));
  for (let round = 0; round <= Number(words.rounds); round += 1) {
    const watch = round === 0;
    for (const name of names) {
      let found;
      try {
        found = name === 'page' ? await sheet(log, watch) : await columns(name, log, watch);
      } catch (error) {
        found = { failed: String(error).split('\n')[0] };
      }
      console.error(`${log.name} ${watch ? 'memory' : round} ${name}: ${JSON.stringify(found)}`);
      runs.get(name).push(found);
    }
  }
  return runs;
}

// Two sums of the same cells differ by rounding alone.
function agree(runs) {
  const sums = [...runs].flatMap(([name, found]) => found.filter((one) => one.sum !== undefined).map((one) => [name, one]));
  const [, first] = sums[0] ?? [];
  for (const [name, one] of sums) {
    if (one.count !== first.count || Math.abs(one.sum / first.sum - 1) > 1e-9) {
      throw new Error(`${name} read ${one.count} cells of sum ${one.sum}, ${sums[0][0]} ${first.count} of ${first.sum}`);
    }
  }
}

function table(log, runs) {
  const ms = (name) => median((runs.get(name) ?? []).filter((one) => one.ms && one.mb === undefined).map((one) => one.ms));
  const ours = ms('Pullmark');
  const rows = [...runs].map(([name, found]) => {
    const failed = found.find((one) => one.failed || one.refused);
    if (failed) return `| ${name} | ${failed.failed ?? failed.refused} | | |`;
    const mb = found.find((one) => one.mb !== undefined).mb;
    const ratio = name.startsWith('Pullmark') || name === 'page' ? '' : (ms(name) / ours).toFixed(1);
    const called = name === 'page' ? 'the page, from file to sheet shown' : name;
    return `| ${called} | ${ms(name).toFixed(0)} | ${ratio} | ${mb.toFixed(0)} |`;
  });
  return [
    `${log.says}, ${(log.bytes / 1e6).toFixed(1)} MB:`,
    '',
    '| reader | ms | × ours | MB over rest |',
    '| --- | --- | --- | --- |',
    ...rows,
  ].join('\n');
}

const wanted = LOGS.filter(({ name }) => words.logs.split(',').includes(name));
if (words.large) wanted.push(...LARGE);
const chrome = await browser();
const machine = `${cpus().length} cores, ${cpus()[0].model.trim()}; Chromium ${chrome.version()}; ${process.platform}; ${words.rounds} rounds, medians.`;
await chrome.close();
const parts = [machine];
for (const log of wanted.map((log) => made(log, folder))) {
  const large = log.bytes > 1.5e8;
  const names = large ? ['page'] : [...words.readers.split(','), 'page'];
  const runs = await rounds(names, log);
  agree(runs);
  parts.push(table(log, runs));
}
const text = `${parts.join('\n\n')}\n`;
console.log(text);
writeFileSync(join(folder, 'compared.md'), text);
site.close();
