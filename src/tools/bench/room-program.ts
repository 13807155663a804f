/** The real program serving its room, in its own process, and people who join it. */
import { type ChildProcess, execFileSync, spawn } from "node:child_process";
import { copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { request } from "node:http";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import WebSocket from "ws";

const MAIN = fileURLToPath(new URL("../../main.js", import.meta.url));
const EXAMPLE = fileURLToPath(new URL("../../../config/tern-hollow.yaml", import.meta.url));
/** Stands beside it. */
const ORBITS = "small-bodies.txt";
const CODE = "BENCH-CODE";

export interface RoomProgram {
  readonly url: string;
  /** Joins; resolves with the cookie. */
  join(name: string, pass?: string): Promise<string>;
  /** A page's socket, greeted. */
  connect(cookie: string): Promise<WebSocket>;
  readonly pass: string;
  /** Resident memory now, in megabytes (10⁶ bytes). */
  residentMegabytes(): number;
  stop(): Promise<void>;
}

/** Starts it on an empty data folder and any free port. */
export async function startRoom(): Promise<RoomProgram> {
  const folder = mkdtempSync(join(tmpdir(), "nightslate-room-bench-"));
  const config = join(folder, "config.yaml");
  writeFileSync(config, `${readFileSync(EXAMPLE, "utf8")}room: { port: 0, classCode: ${CODE} }\n`);
  copyFileSync(join(dirname(EXAMPLE), ORBITS), join(folder, ORBITS));
  const args = [MAIN, "--no-terminal", "--speed", "1", "--config", config, "--data", folder];
  const child = spawn(process.execPath, args, { stdio: ["ignore", "pipe", "inherit"] });
  const { url, pass } = await banner(child);
  return {
    url,
    pass,
    join: (name, given) => joinAt(url, name, given ?? null),
    connect: (cookie) => connectTo(url, cookie),
    residentMegabytes: () => {
      const kibibytes = execFileSync("ps", ["-o", "rss=", "-p", String(child.pid)], { encoding: "utf8" });
      return (Number(kibibytes) * 1024) / 1e6;
    },
    stop: async () => {
      const gone = new Promise((done) => child.once("exit", done));
      child.kill("SIGTERM");
      await gone;
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

function banner(child: ChildProcess): Promise<{ url: string; pass: string }> {
  return new Promise((done, failed) => {
    let seen = "";
    child.once("exit", (code) => failed(new Error(`the program ended with code ${code}:\n${seen}`)));
    child.stdout?.on("data", (chunk: Buffer) => {
      seen += chunk.toString();
      const url = /http:\/\/\S+/.exec(seen)?.[0];
      const pass = /one use: (\S+)/.exec(seen)?.[1];
      if (url && pass) done({ url, pass });
    });
  });
}

/** Joins of one address: fewer than the room lets in at once. */
const FROM_ONE_ADDRESS = 30;
let joins = 0;

/** A school of many addresses: all of 127.0.0.0/8 is this machine (RFC 1122, 3.2.1.3), where the system allows it. */
function joinAt(url: string, name: string, pass: string | null): Promise<string> {
  const localAddress = `127.0.0.${1 + Math.floor(joins++ / FROM_ONE_ADDRESS)}`;
  const headers = { "content-type": "application/json", origin: url };
  return new Promise((done, failed) => {
    const sent = request(
      `${url}/join`,
      { method: "POST", headers, localAddress, agent: false },
      (response) => {
        response.resume();
        const [cookie] = response.headers["set-cookie"] ?? [];
        if (cookie) done(cookie.split(";")[0] as string);
        else failed(new Error(`${name} was not let in: ${response.statusCode}`));
      },
    );
    sent.once("error", failed);
    sent.end(JSON.stringify({ code: CODE, name, group: null, pass }));
  });
}

function connectTo(url: string, cookie: string): Promise<WebSocket> {
  const socket = new WebSocket(`${url.replace("http", "ws")}/socket`, { headers: { cookie, origin: url } });
  return new Promise((done, failed) => {
    socket.once("error", failed);
    socket.once("open", () => {
      socket.send(JSON.stringify({ t: "hello", after: null, back: 60 }));
      done(socket);
    });
  });
}
