// The page's first step: fetch the program, then hand over to it.
import init, { start_page } from './pullmark.js';

await init({ module_or_path: new URL('pullmark_bg.wasm', import.meta.url) });
start_page();
