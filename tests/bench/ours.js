// Pullmark's worker without its page: the reading path of the site as it was built.
import init, { measure_reading, measure_start, measure_warm } from '/site/pullmark.js';

const reader = decodeURIComponent(self.location.search.slice(1));
const to_log = reader.includes('log');
await init({ module_or_path: '/site/pullmark_bg.wasm' });
measure_start('/site/loader.js');
// As the page's worker does once it is there.
if (!reader.includes('cold')) await measure_warm();
self.onmessage = async ({ data }) => {
  try {
    self.postMessage(JSON.parse(await measure_reading(data, to_log)));
  } catch (error) {
    self.postMessage({ error: String(error) });
  }
};
self.postMessage({ ready: true });
