// A server for this machine alone: three folders under their names, files only.
import { createReadStream, statSync } from 'node:fs';
import { createServer } from 'node:http';
import { extname, join, normalize } from 'node:path';

const TYPES = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.mjs': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
  '.wasm': 'application/wasm',
  '.zip': 'application/zip',
};

export async function serve(folders) {
  const server = createServer((request, response) => {
    const asked = normalize(decodeURIComponent(request.url.split('?')[0]));
    const [, name, ...rest] = asked.split('/');
    const path = folders[name] && join(folders[name], rest.join('/') || 'index.html');
    if (!path || !statSync(path, { throwIfNoEntry: false })?.isFile()) {
      response.writeHead(404).end();
      return;
    }
    response.writeHead(200, { 'content-type': TYPES[extname(path)] ?? 'application/octet-stream' });
    createReadStream(path).pipe(response);
  });
  await new Promise((resolve) => { server.listen(0, '127.0.0.1', resolve); });
  return { address: `http://127.0.0.1:${server.address().port}`, close: () => server.close() };
}
