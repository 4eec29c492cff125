// Pullmark's worker without its page: the reading path of the site as it was built.
import init, { measure_reading } from '/site/pullmark.js';

const to_log = decodeURIComponent(self.location.search.slice(1)).includes('log');
await init({ module_or_path: '/site/pullmark_bg.wasm' });
self.onmessage = async ({ data }) => {
  try {
    self.postMessage(JSON.parse(await measure_reading(data, to_log)));
  } catch (error) {
    self.postMessage({ error: String(error) });
  }
};
self.postMessage({ ready: true });
