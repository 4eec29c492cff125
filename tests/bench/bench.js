// The page of one measurement: a reader is made ready, rests, and is handed the file.
// `ready(reader)` and `run()` are called from compare.mjs.
let read;

window.ready = async (reader, before) => {
  const name = reader.replace(' warmed', '');
  read = name === 'duckdb-wasm' ? await duckdb() : await inWorker(name);
  // A peer may read a table before it is measured, as our worker does.
  if (reader !== name) await read(new File([before], 'before.csv'));
};

window.run = async () => {
  const file = document.querySelector('#pick').files[0];
  const began = performance.now();
  const found = await read(file);
  return { ms: performance.now() - began, ...found };
};

async function inWorker(reader) {
  const script = reader.startsWith('Pullmark') ? 'ours.js' : 'peers.js';
  const worker = new Worker(`${script}?${reader}`, { type: 'module' });
  const answer = () => new Promise((resolve, reject) => {
    worker.onmessage = ({ data }) => (data.error ? reject(new Error(data.error)) : resolve(data));
    worker.onerror = ({ message }) => reject(new Error(message));
  });
  await answer();
  return async (file) => {
    worker.postMessage(file);
    return answer();
  };
}

// DuckDB brings its own worker. The columns arrive as Arrow vectors.
async function duckdb() {
  const { AsyncDuckDB, ConsoleLogger, DuckDBDataProtocol, LogLevel } = await import('/peers/@duckdb/duckdb-wasm/dist/duckdb-browser.mjs');
  const place = `${location.origin}/peers/@duckdb/duckdb-wasm/dist`;
  const worker = new Worker(`${place}/duckdb-browser-eh.worker.js`);
  const db = new AsyncDuckDB(new ConsoleLogger(LogLevel.ERROR), worker);
  await db.instantiate(`${place}/duckdb-eh.wasm`);
  const connection = await db.connect();
  return async (file) => {
    await db.registerFileHandle('log.csv', file, DuckDBDataProtocol.BROWSER_FILEREADER, true);
    const table = await connection.query(`SELECT * FROM read_csv('log.csv', header = true, delim = ',')`);
    let [sum, count] = [0, 0];
    for (let at = 1; at < table.numCols; at += 1) {
      for (const chunk of table.getChildAt(at).data) {
        for (let row = 0; row < chunk.length; row += 1) {
          if (chunk.getValid(row)) {
            sum += Number(chunk.values[row]);
            count += 1;
          }
        }
      }
    }
    return { sum, count };
  };
}
