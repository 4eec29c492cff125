// The worker's first step. When the program in it ends by a fault, nothing inside
// can say so any more; these lines do, on a channel that the page listens on.
import init, { start_worker } from './pullmark.js';

const lastWords = (event) => {
  const channel = new BroadcastChannel(`pullmark-last-words-${self.location.search.slice(1)}`);
  channel.postMessage(String(event.message ?? event.reason));
  channel.close();
};
self.addEventListener('error', lastWords);
self.addEventListener('unhandledrejection', lastWords);

await init({ module_or_path: new URL('pullmark_bg.wasm', import.meta.url) });
start_worker(new URL('loader.js', import.meta.url).href);
