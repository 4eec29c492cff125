// Fetches parts of files for the worker, which so has its hands free for reading them.
// In: a file's key, from where to where, and with the first question the file itself; a
// key alone when no more of it is wanted. Out, in the order of the questions: the bytes,
// or the browser's reason in words.
const files = new Map();
let last = Promise.resolve();

self.onmessage = ({ data: [key, from, to, file] }) => {
  if (file) files.set(key, file);
  if (to === undefined) return files.delete(key);
  // Several are on their way at once, and handed over one after the other.
  const loading = files.get(key).slice(from, to).arrayBuffer();
  loading.catch(() => {});
  const hand = (bytes) => self.postMessage(bytes, [bytes]);
  const say = (error) => self.postMessage(String(error.message ?? error));
  last = last.then(() => loading).then(hand).catch(say);
};
