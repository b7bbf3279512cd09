// Python: the whole app, in a worker of its own, where files can be written in one call.
import { loadPyodide } from "./pyodide/pyodide.mjs";

const LOCK = THE_LOCK; // names no package: nothing can be looked up or fetched
const NAME = "farend";
const TELL_AFTER = 700; // a page that is loaded anew outlives its own old worker for a moment [ms]

const tell = (news) => postMessage(news);
const early = [];
const asked = new Map();
let toPython = null, onNews = null, letGo = null, number = 0;

self.onmessage = ({ data }) => {
  if (data instanceof Uint8Array) toPython ? toPython(data) : early.push(data);
  else if ("answer" in data) {
    const { done, failed } = asked.get(data.answer);
    asked.delete(data.answer);
    data.error === undefined ? done(data.value) : failed(new Error(data.error));
  } else if (onNews) onNews(data.news);
};

// One window has the data; others wait, and may ask for it.
function lock() {
  return new Promise((held) => {
    const slow = setTimeout(() => tell({ elsewhere: true }), TELL_AFTER);
    navigator.locks.request(NAME, () => new Promise((release) => {
      clearTimeout(slow);
      tell({ elsewhere: false });
      letGo = release;
      held();
    }));
  });
}

const windows = new BroadcastChannel(NAME);
windows.onmessage = ({ data }) => { if (data !== self.name) page.leave(); }; // not our own page's wish

const page = {
  ask: (what, detail, moved) => new Promise((done, failed) => {
    asked.set(++number, { done, failed });
    postMessage({ ask: what, number, detail }, moved ?? []);
  }),
  tell: (what, value) => tell({ [what]: value }),
  listen: (heard) => { onNews = heard; },
  folder: async () => (await navigator.storage.getDirectory()).getDirectoryHandle(NAME, { create: true }),
  closing: (close) => { page.close = close; },
  close: () => {},
  // Another window takes over: everything is kept already, the files are let go of.
  leave: () => {
    if (!letGo) return;
    page.close();
    tell({ moved: true });
    letGo();
    letGo = null;
  },
};

try {
  const holding = lock();
  // One stream over all files is a fifth smaller than a zip of packed ones; its name keeps hosts
  // from unpacking it on the way.
  const bytes = fetch("site.bin").then(({ body }) =>
    new Response(body.pipeThrough(new DecompressionStream("gzip"))).arrayBuffer());
  const indexURL = new URL("pyodide/", self.location.href).href;
  const python = await loadPyodide({ indexURL, packageBaseUrl: "./", lockFileContents: LOCK,
    stdout: (line) => console.log(line), stderr: (line) => console.warn(line) });
  python.unpackArchive(await bytes, "zip", { extractDir: "/lib/site" });
  const flet = { documentUrl: new URL("./", self.location.href).href };
  python.registerJsModule("flet_js", flet);
  python.registerJsModule("farend_page", page);
  await python.runPythonAsync("import sys; sys.path.insert(0, '/lib/site'); import THE_START");
  await holding;
  await python.runPythonAsync("await THE_START.begin()");
  await flet.start_connection((message) => {
    const sent = message.toJs();
    postMessage(sent, [sent.buffer]);
  });
  toPython = flet.send;
  early.splice(0).forEach((message) => toPython(message));
  tell({ ready: true });
} catch (error) {
  tell({ failed: String(error?.message ?? error) });
  throw error;
}
