// The three logs of the comparison, made from a seed: the same bytes on every machine.
import { closeSync, existsSync, mkdirSync, openSync, renameSync, statSync, writeSync } from 'node:fs';
import { join } from 'node:path';

// `filled` of 6 means one cell in six: a logger that reads its signals in turn.
export const LOGS = [
  { name: 'small', rows: 16_600, columns: 60, filled: 1, digits: 2, says: '16.6 k rows × 60 columns' },
  { name: 'dense', rows: 1_160_000, columns: 14, filled: 1, digits: 1, says: '1.16 M rows × 14 columns' },
  { name: 'sparse', rows: 860_000, columns: 60, filled: 6, digits: 1, says: '860 k rows × 60 columns, one cell in six filled' },
];

// Logs far longer, to see whether time grows with the bytes alone, and what is refused.
const many = (name, rows) => ({ name, rows, columns: 14, filled: 1, digits: 1, says: `${rows / 1e6} M rows × 14 columns` });

export const LARGE = [
  many('dense-200', 2_320_000),
  many('dense-400', 4_640_000),
  many('dense-650', 7_540_000),
  many('dense-1000', 11_600_000),
  { name: 'sparse-1000', rows: 8_600_000, columns: 60, filled: 6, digits: 1, says: '8.6 M rows × 60 columns, one cell in six filled' },
];

// Source: Marsaglia, Xorshift RNGs (2003), the 32-bit triple 13, 17, 5.
function random(seed) {
  let state = seed;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 4294967296;
  };
}

// Every channel wanders, so that no reading is taken for a repeated one.
function lines(log, write) {
  const next = random(20261125);
  const level = Array.from({ length: log.columns }, () => 20 + 150 * next());
  const names = level.map((_, at) => `Channel ${at + 1}`);
  write(`Time (s),${names.join(',')}\n`);
  for (let row = 0; row < log.rows; row += 1) {
    let line = (row * 0.05).toFixed(2);
    for (let at = 0; at < log.columns; at += 1) {
      line += ',';
      if ((row + at) % log.filled === 0) {
        level[at] += 4 * (next() - 0.5);
        if (level[at] < 5 || level[at] > 190) level[at] = 100;
        line += level[at].toFixed(log.digits);
      }
    }
    write(`${line}\n`);
  }
}

// The file of a log, written where it is not there yet.
export function made(log, folder) {
  mkdirSync(folder, { recursive: true });
  const path = join(folder, `${log.name}.csv`);
  if (!existsSync(path)) {
    const file = openSync(`${path}.part`, 'w');
    let waiting = [];
    let length = 0;
    const flush = () => {
      writeSync(file, waiting.join(''));
      waiting = [];
      length = 0;
    };
    lines(log, (line) => {
      waiting.push(line);
      length += line.length;
      if (length > 1 << 22) flush();
    });
    flush();
    closeSync(file);
    renameSync(`${path}.part`, path);
  }
  return { ...log, path, bytes: statSync(path).size };
}
