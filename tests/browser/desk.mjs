// A desk of its own for a test: started on a free port of loopback, ended afterwards.
import { spawn } from "node:child_process";
import { mkdirSync, rmSync } from "node:fs";
import { createInterface } from "node:readline";
import { root } from "./browser.mjs";

const program = process.env.COLDLUG_PROGRAM;
const scratch = process.env.COLDLUG_SCRATCH;

function folder(name) {
  const path = `${scratch}/${name}`;
  rmSync(path, { recursive: true, force: true });
  mkdirSync(path, { recursive: true });
  return path;
}

// The made-up map sheet of a job that is ready to be worked.
export const mapSheet = `${root}/bindings/phone/examples/ready_folder/map_sheet.geojson`;

// Starts it, and waits until it says where it is and which code begins. Both stand at the end of
// their lines, whatever the words before them.
export async function startDesk(name) {
  const child = spawn(program, ["desk", "--data", folder(name), "--bind", "127.0.0.1:0"], { stdio: ["ignore", "pipe", "inherit"] });
  const desk = { address: null, code: null, end: () => ended(child) };
  const lines = createInterface({ input: child.stdout });
  await new Promise((ready, failed) => {
    child.on("exit", (code) => failed(new Error(`the desk ended with ${code}`)));
    lines.on("line", (line) => {
      const last = line.trim().split(/\s+/).at(-1);
      if (!desk.address && /^http:\/\/127/.test(last)) desk.address = last;
      else if (!desk.code && /^[A-Z0-9]{10}$/.test(last)) desk.code = last;
      if (desk.address && desk.code) ready();
    });
  });
  return desk;
}

// The demo, left running: where its desk is, who may come in, and with `--hold` the electrician's link.
export async function startDemo(more) {
  const child = spawn(program, ["demo", "--seed", "1", "--out", folder(`browser-demo${more.join("")}`), ...more], { stdio: ["ignore", "pipe", "inherit"] });
  const desk = { address: null, link: null, end: () => ended(child) };
  const lines = createInterface({ input: child.stdout });
  await new Promise((ready, failed) => {
    child.on("exit", (code) => failed(new Error(`the demo ended with ${code}`)));
    lines.on("line", (line) => {
      const came = line.match(/(http:\/\/127\S+?)\. Sign in as (\S+) with the password: (.+)$/);
      if (came) [, desk.address, desk.name, desk.password] = came;
      const link = line.match(/(http:\/\/\S+\/at\/\S+)$/);
      if (link) desk.link = link[1];
      if (link || (came && !more.includes("--hold"))) ready();
    });
  });
  return desk;
}

function ended(child) {
  return new Promise((done) => {
    child.removeAllListeners("exit");
    child.on("exit", done);
    child.kill("SIGTERM");
  });
}
