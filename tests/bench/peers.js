// The worker of a peer: from a file to columns of numbers, blanks as NaN, in the way
// its own documentation shows for a file.
const reader = decodeURIComponent(self.location.search.slice(1));

class Columns {
  constructor() {
    this.columns = [];
    this.rows = 0;
  }

  // A first row of names is skipped by the callers.
  row(cells) {
    while (this.columns.length < cells.length) this.columns.push(new Float64Array(1 << 16));
    for (let at = 0; at < cells.length; at += 1) {
      if (this.rows === this.columns[at].length) {
        const wider = new Float64Array(2 * this.rows);
        wider.set(this.columns[at]);
        this.columns[at] = wider;
      }
      const cell = cells[at];
      this.columns[at][this.rows] = cell === '' ? NaN : Number(cell);
    }
    this.rows += 1;
  }

  found() {
    let [sum, count] = [0, 0];
    for (const column of this.columns.slice(1)) {
      for (let row = 0; row < this.rows; row += 1) {
        if (column[row] === column[row]) {
          sum += column[row];
          count += 1;
        }
      }
    }
    return { sum, count };
  }
}

async function papaparse() {
  importInto(await (await fetch('/peers/papaparse/papaparse.min.js')).text());
  return (file) => new Promise((resolve, reject) => {
    const columns = new Columns();
    let named = false;
    self.Papa.parse(file, {
      skipEmptyLines: true,
      chunk: ({ data }) => {
        for (const row of data) {
          if (named) columns.row(row);
          named = true;
        }
      },
      complete: () => resolve(columns.found()),
      error: reject,
    });
  });
}

// papaparse is a classic script; a module worker has no importScripts.
function importInto(text) {
  (0, eval)(text);
}

async function udsv() {
  const { inferSchema, initParser } = await import('/peers/udsv/dist/uDSV.mjs');
  return async (file) => {
    const text = await file.text();
    const columns = initParser(inferSchema(text)).typedCols(text);
    let [sum, count] = [0, 0];
    for (const column of columns.slice(1)) {
      const numbers = new Float64Array(column.length);
      for (let row = 0; row < column.length; row += 1) {
        numbers[row] = typeof column[row] === 'number' ? column[row] : NaN;
        if (numbers[row] === numbers[row]) {
          sum += numbers[row];
          count += 1;
        }
      }
    }
    return { sum, count };
  };
}

async function d3dsv() {
  const { dsvFormat } = await import('/peers/d3-dsv/dist/d3-dsv.mjs');
  return async (file) => {
    const columns = new Columns();
    dsvFormat(',').parseRows(await file.text(), (cells, at) => {
      if (at > 0) columns.row(cells);
      return undefined;
    });
    return columns.found();
  };
}

const read = await { papaparse, udsv, 'd3-dsv': d3dsv }[reader]();
self.onmessage = async ({ data }) => {
  try {
    self.postMessage(await read(data));
  } catch (error) {
    self.postMessage({ error: String(error) });
  }
};
self.postMessage({ ready: true });
