// Compiles the Python sources in zips with the browser's Python: node compile.mjs FOLDER
//
// FOLDER holds job.json and the zips it names; each is replaced by the compiled one. Writes how far
// it is to its output, a line of thousandths each time. Asks nothing of a network.
import {readFileSync, writeFileSync} from "node:fs";
import {join} from "node:path";
import {pathToFileURL} from "node:url";

globalThis.fetch = () => Promise.reject(new Error("nothing is fetched here"));

const COMPILE = `
import warnings, zipfile
warnings.simplefilter("ignore")  # of other people's sources

def compile_all(names, tell):
    held = [zipfile.ZipFile(name) for name in names]
    total, done = sum(len(archive.namelist()) for archive in held) or 1, 0
    for name, archive in zip(names, held):
        with zipfile.ZipFile(name + ".new", "w") as out:
            for place in archive.namelist():
                data = archive.read(place)
                if place.endswith(".py"):
                    try:
                        data = bytecode(place, data)
                        place += "c"
                    except (SyntaxError, ValueError):
                        pass
                out.writestr(place, data)
                done += 1
                if done % 20 == 0 or done == total:
                    tell(done * 1000 // total)
`;

const folder = process.argv[2];
const job = JSON.parse(readFileSync(join(folder, "job.json"), "utf8"));
const core = `${job.core}/`;
const {loadPyodide} = await import(pathToFileURL(`${core}pyodide.mjs`).href);
const python = await loadPyodide({
  indexURL: core, packageBaseUrl: core, lockFileContents: job.lock,
  stdout: () => {}, stderr: () => {},
});
for (const name of job.zips) python.FS.writeFile(`/tmp/${name}`, readFileSync(join(folder, name)));
python.runPython(job.bytecode + COMPILE);
const compileAll = python.globals.get("compile_all");
compileAll(python.toPy(job.zips.map((name) => `/tmp/${name}`)), (share) => console.log(share));
for (const name of job.zips) {
  writeFileSync(join(folder, name), python.FS.readFile(`/tmp/${name}.new`));
}
process.exit(0);
