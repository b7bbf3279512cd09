// Compiles the Python sources in zips with the browser's Python: node compile.mjs FOLDER
//
// FOLDER holds job.json and the zips it names; each compiled one is laid beside its zip. Writes how
// far it is to its output, a line of thousandths each time. Asks nothing of a network.
import {readFileSync, writeFileSync} from "node:fs";
import {join} from "node:path";
import {pathToFileURL} from "node:url";

globalThis.fetch = () => Promise.reject(new Error("nothing is fetched here"));

const folder = process.argv[2];
const job = JSON.parse(readFileSync(join(folder, "job.json"), "utf8"));
const core = `${job.core}/`;
const {loadPyodide} = await import(pathToFileURL(`${core}pyodide.mjs`).href);
const python = await loadPyodide({
  indexURL: core, packageBaseUrl: core, lockFileContents: job.lock,
  env: {PYTHONNODEBUGRANGES: "1"}, stdout: () => {}, stderr: () => {},
});
for (const name of job.zips) python.FS.writeFile(`/tmp/${name}`, readFileSync(join(folder, name)));
python.runPython(job.python);
const names = python.toPy(job.zips.map((name) => `/tmp/${name}`));
python.globals.get("work")(names, python.toPy(job.start), (share) => console.log(share));
for (const name of job.zips) {
  writeFileSync(join(folder, `${name}.new`), python.FS.readFile(`/tmp/${name}.new`));
}
process.exit(0);
