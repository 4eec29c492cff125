// The page's first step: fetch the program, then hand over to it.
import init, { start_page } from './pullmark.js';

await init();
start_page();
