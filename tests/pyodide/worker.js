// Starts the browser's Python, unpacks the site into it and answers what the page asks.
import {loadPyodide} from "./pyodide/pyodide.mjs";

const ANSWER = `
import json, sys
from pyodide.code import eval_code_async
sys.path[:0] = ["/farend/site", "/farend/harness", "/farend/repo"]
sys.dont_write_bytecode = True
async def answer(source):
    return json.dumps(await eval_code_async(source, {"__name__": "__main__"}))
answer
`;

async function start() {
  const site = fetch("site.zip").then((reply) => reply.arrayBuffer());
  const here = new URL("pyodide/", self.location.href).href;
  const python = await loadPyodide({indexURL: here});
  python.unpackArchive(await site, "zip", {extractDir: "/farend"});
  return python.runPython(ANSWER);
}

const started = start();
self.onmessage = async ({data: {id, source}}) => {
  try {
    self.postMessage({id, json: await (await started)(source)});
  } catch (problem) {
    self.postMessage({id, error: String(problem.message ?? problem)});
  }
};
