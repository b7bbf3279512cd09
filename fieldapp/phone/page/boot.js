// Our own page under the app: the first thing seen, what only a page can do for its worker, and
// the few words that must be said where the app itself cannot.
(() => {
  "use strict";
  const SAYS = THE_SAYS; // language -> word -> text
  const NOTE = "farend-page"; // how the first page is to look: no more than that is kept here
  const HOUR = 3600e3;

  const noted = (() => { try { return JSON.parse(localStorage.getItem(NOTE)) ?? {}; } catch { return {}; } })();
  function note(more) {
    Object.assign(noted, more);
    try { localStorage.setItem(NOTE, JSON.stringify(noted)); } catch { /* it looks as the phone does */ }
  }
  const element = (id) => document.getElementById(id);
  const root = document.documentElement;

  let tongue = "en"; // the client writes another one into the page
  function dress({ look, language }) {
    if (look) root.dataset.look = look; else delete root.dataset.look;
    root.lang = tongue = language in SAYS ? language : "en";
  }
  const spoken = (word) => SAYS[tongue][word];

  dress({ look: noted.look, language: noted.language ?? navigator.language?.slice(0, 2) });
  // Another copy of this page in a folder above has a service worker of its own, which serves this
  // one too until ours has begun.
  const controlled = () => !!navigator.serviceWorker?.controller?.scriptURL.startsWith(new URL("sw.js", location.href).href);
  const begins = () => spoken(controlled() ? "starting" : "first");
  element("word").textContent = begins();

  // ---------------------------------------------------------------- the first page

  function say(title, more, ...buttons) {
    const first = element("first");
    first.hidden = false;
    first.querySelector("h1").textContent = title;
    element("word").textContent = more;
    first.querySelectorAll("button").forEach((one) => one.remove());
    for (const [number, [word, press]] of buttons.entries()) {
      const made = first.appendChild(document.createElement("button"));
      made.textContent = spoken(word);
      made.onclick = press;
      if (number) made.className = "quiet";
    }
  }

  const drawn = (then) => requestAnimationFrame(() => requestAnimationFrame(() => requestAnimationFrame(then)));

  function shown() {
    drawn(() => { if (!isAway) element("first").hidden = true; });
  }

  // ---------------------------------------------------------------- something that wants its own tap

  let before = Promise.resolve(); // one after another: none is exchanged under a finger

  function sheet(title, more, yes, no) {
    const asked = () => new Promise((answer) => {
      const box = element("sheet");
      const done = (value) => { box.onclose = null; box.close(); answer(value); };
      element("sheet-title").textContent = title;
      element("sheet-more").textContent = more;
      element("sheet-yes").textContent = yes;
      element("sheet-no").textContent = no;
      element("sheet-no").className = "quiet";
      element("sheet-yes").onclick = () => done(true);
      element("sheet-no").onclick = () => done(false);
      box.onclose = () => { if (!box.open) done(false); }; // Escape, a phone's Back; not the one before
      box.showModal();
    });
    return (before = before.then(asked));
  }

  // The app hears the keys of the whole window: on the sheet they are the sheet's.
  for (const what of ["keydown", "keyup"]) {
    window.addEventListener(what, (event) => {
      if (element("sheet").open) event.stopImmediatePropagation();
    }, true);
  }

  function download({ name, type, bytes }) {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([bytes], { type }));
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60e3);
  }

  // A browser opens its share sheet, and some begin a download, only from within a tap. The one that
  // asked for the file may be over when it is made: then it is asked for once more, on our own page.
  // Chromium shares what stands in its own list of kinds: texts and PDF, neither JSON nor zip. A
  // share that it refuses for that uses up the tap.
  const asText = ({ name, type, bytes }) => blink && type === "application/json"
    ? new File([bytes], `${name}.txt`, { type: "text/plain" }) : new File([bytes], name, { type });
  const refused = ({ type }) => blink && type === "application/zip";

  async function give({ way, files }) {
    const isShare = way === "share";
    const out = isShare ? { files: files.map(asText) } : null;
    if (isShare && (files.some(refused) || !navigator.canShare?.(out))) return false;
    const go = () => isShare ? navigator.share(out) : files.forEach(download);
    const name = files.map((file) => file.name).join(", ");
    try {
      if (navigator.userActivation?.isActive !== false) {
        try {
          await go();
          return true;
        } catch (trouble) {
          if (trouble.name !== "NotAllowedError") throw trouble;
        }
      }
      const yes = await sheet(name, spoken(isShare ? "share-more" : "save-more"), spoken(isShare ? "share" : "save"), spoken("not-now"));
      if (!yes) return "closed";
      await go();
      return true;
    } catch (trouble) {
      return trouble.name === "AbortError" ? "closed" : false;
    }
  }

  // ---------------------------------------------------------------- what is kept, where Python does not start

  // The folder of jobs as the store on files names them: of a journal that was written anew the last
  // one counts, of a picture the first.
  async function* keptFiles(folder, path) {
    const found = new Map();
    for await (const [name, one] of folder.entries()) {
      if (one.kind === "directory") { yield* keptFiles(one, `${path}${name}/`); continue; }
      const [, stem, number = "1", suffix] = /^([^.]+)(?:\.(\d+))?(\..+)$/.exec(name) ?? [];
      const turn = Number(number);
      const file = stem && await one.getFile();
      if (!file?.size) continue; // a file without bytes is not there
      const as = `${path}${stem}${suffix}`, other = found.get(as);
      const counts = !other || (suffix === ".journal" ? turn > other.turn : turn < other.turn);
      if (counts) found.set(as, { turn, file });
    }
    for (const [as, { file }] of found) yield [as, file];
  }

  const LETTERS = new TextEncoder();
  const BLOCK = 512;

  // The head of a file in a tar archive (POSIX.1-2017, pax, ustar interchange format).
  function tarHead(path, size) {
    const head = new Uint8Array(BLOCK), cut = path.lastIndexOf("/");
    const put = (at, text) => head.set(LETTERS.encode(text), at);
    const octal = (number, digits) => number.toString(8).padStart(digits, "0");
    put(0, path.slice(cut + 1));
    put(100, "0000644\0" + "0000000\0".repeat(2) + `${octal(size, 11)}\0${octal(Date.now() / 1000 | 0, 11)}\0`);
    put(148, "        0");
    put(257, "ustar\u000000");
    put(345, path.slice(0, cut));
    put(148, `${octal(head.reduce((sum, byte) => sum + byte), 6)}\0 `);
    return head;
  }

  async function copyKept() {
    worker.terminate(); // it holds the files
    const parts = [];
    const root = await (await navigator.storage.getDirectory()).getDirectoryHandle("farend");
    for await (const [path, file] of keptFiles(await root.getDirectoryHandle("jobs"), "farend-kept/jobs/")) {
      parts.push(tarHead(path, file.size), file, new Uint8Array(-file.size & (BLOCK - 1)));
    }
    download({ name: "farend-kept.tar", type: "application/x-tar", bytes: new Blob([...parts, new Uint8Array(2 * BLOCK)]) });
  }

  // ---------------------------------------------------------------- for use without signal

  const blink = (navigator.vendor === "Google Inc." || navigator.userAgent.includes("Edg/"))
    && "ImageDecoder" in self && "v8BreakIterator" in Intl && "Segmenter" in Intl;
  const draws = blink ? "chromium" : "full"; // as Flutter's own loader chooses
  let registration = null, hadOne = controlled(), stays = null;

  const home = () => matchMedia("(display-mode: standalone)").matches || navigator.standalone === true;
  const state = () => ({
    offline: registration?.active?.state === "activated",
    newer: !!registration?.waiting,
    home: home(),
    version: document.querySelector("meta[name=version]").content,
    stays,
  });
  const news = () => worker.postMessage({ news: state() });

  function watch(one) {
    one?.addEventListener("statechange", news);
  }

  async function register() {
    if (!navigator.serviceWorker) return;
    navigator.serviceWorker.addEventListener("controllerchange", () => {
      if (hadOne) location.reload();
      hadOne = true;
    });
    try {
      registration = await navigator.serviceWorker.register(`sw.js?draws=${draws}`, { updateViaCache: "none" });
    } catch (trouble) {
      console.warn(`not kept for use without signal: ${trouble.message}`);
      return;
    }
    watch(registration.installing);
    registration.addEventListener("updatefound", () => watch(registration.installing));
    news();
    let looked = 0;
    const look = () => {
      if (document.hidden || Date.now() - looked < HOUR) return;
      looked = Date.now();
      registration.update().catch(() => {}); // no signal: another time
    };
    document.addEventListener("visibilitychange", look);
    look();
  }

  // ---------------------------------------------------------------- the worker

  const CAN = {
    states: async () => {
      stays = (await navigator.storage?.persisted?.()) || (noted.asked ? false : null);
      return state();
    },
    stay: async () => {
      stays = !!(await navigator.storage?.persist?.());
      note({ asked: true });
      return state();
    },
    renew: async () => registration?.waiting?.postMessage("go"),
    give,
  };

  const ME = String(Math.random());
  function goOnHere() {
    sessionStorage.removeItem(NOTE);
    windows.postMessage(ME);
  }

  const HEARD = {
    ready: () => {
      isUp = true;
      pythonIsReady();
    },
    shown,
    dressed: (how) => {
      dress(how);
      note(how);
    },
    elsewhere: (is) => is && sessionStorage.getItem(NOTE) ? goOnHere() : is
      ? say(spoken("elsewhere"), spoken("elsewhere-more"), ["here", goOnHere])
      : say("Farend", begins()),
    moved: () => {
      isAway = true;
      worker.terminate(); // what lies below writes nothing any more, and no finger reaches it
      document.querySelectorAll("body > :not(#first)").forEach((one) => { one.inert = true; });
      say(spoken("moved"), spoken("moved-more"), ["here", () => {
        sessionStorage.setItem(NOTE, "here"); // pressed once, it is not asked again
        location.reload();
      }]);
    },
    failed: (why) => say(spoken("failed"), `${spoken("failed-more")}\n${why}`,
      ["again", () => location.reload()], ["copy", () => copyKept().catch((trouble) => { element("word").textContent += `\n${trouble.message}`; })]),
  };

  const windows = new BroadcastChannel("farend");
  const worker = new Worker("worker.js", { type: "module", name: ME });
  let toDart = null, early = [], isAway = false, isUp = false, pythonIsReady;
  const pythonReady = new Promise((done) => { pythonIsReady = done; });

  worker.onerror = (event) => { if (!isUp) HEARD.failed(event.message ?? ""); }; // later the app tells
  worker.onmessage = async ({ data }) => {
    if (data instanceof Uint8Array) return toDart ? toDart(data) : early.push(data);
    if (!("ask" in data)) return Object.entries(data).forEach(([what, value]) => HEARD[what](value));
    try {
      worker.postMessage({ answer: data.number, value: await CAN[data.ask](data.detail) });
    } catch (trouble) {
      worker.postMessage({ answer: data.number, error: String(trouble?.message ?? trouble) });
    }
  };

  // What the client looks for: how to reach Python, and where its files lie. The question mark turns
  // any font it would fetch for a letter that we lack into one that is here.
  const flet = globalThis.flet = {
    pyodide: true, multiView: false, noCdn: true, routeUrlStrategy: "hash",
    entrypointBaseUrl: "./", assetBase: "./", canvasKitBaseUrl: "./canvaskit/", canvasKitVariant: draws,
    webRenderer: "canvaskit", fontFallbackBaseUrl: "./assets/fonts/BODY_FONT?",
  };
  flet.flutterAppLoaded = new Promise((done) => { flet.flutterAppResolve = done; });
  globalThis.jsConnect = async (_id, _args, onMessage) => {
    toDart = onMessage;
    await pythonReady;
    early.splice(0).forEach(onMessage);
  };
  globalThis.jsSend = async (_id, bytes) => worker.postMessage(bytes, [bytes.buffer]);
  globalThis.jsDisconnect = async () => {};

  // WebKit brings a page back from its history with the frame clock stopped: load it anew.
  window.addEventListener("pageshow", (event) => {
    if (event.persisted && (navigator.vendor || "").startsWith("Apple")) location.reload();
  });
  window.addEventListener("load", register);
})();
