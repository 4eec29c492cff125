const files = new Map();
let last = Promise.resolve();
self.onmessage = ({ data: [key, from, to, file] }) => {
  if (file) files.set(key, file);
  if (to === undefined) return files.delete(key);
  const loading = files.get(key).slice(from, to).arrayBuffer();
  last = last.then(() => loading).then((bytes) => self.postMessage(bytes, [bytes]), (error) => self.postMessage(error));
};
