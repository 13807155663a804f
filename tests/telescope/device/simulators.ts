/**
 * The protocol's own simulators (Debian's indi-bin), in a network of their own that has loopback only, since their
 * server listens everywhere; and a way in from here on which lines are dropped, delayed and altered.
 */
import { type ChildProcess, execFileSync, spawn, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { type AddressInfo, createServer, type Server, type Socket } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";

const DRIVERS = ["telescope", "dome", "ccd", "wheel", "weather"];
const PORT = 7624;

/** Why they cannot be run here, one line; null: they can. */
export function whyNoSimulators(): string | null {
  if (spawnSync("sh", ["-c", "command -v indiserver indi_simulator_telescope"]).status !== 0)
    return "left out: the simulators of Debian's indi-bin are not installed";
  return spawnSync("unshare", ["-n", "--pid", "--fork", "true"]).status === 0
    ? null
    : "left out: no network of their own for the simulators can be made here (it takes root)";
}

export class Simulators {
  /** What happens to what the server says: null drops nothing. */
  alter: (text: string) => string = (text) => text;
  delayMs = 0;
  private heard: (text: string) => void = () => {};
  private readonly sockets = new Set<Socket>();
  private readonly bridges = new Set<ChildProcess>();

  private constructor(
    private readonly server: ChildProcess,
    private readonly home: string,
    private readonly door: Server,
  ) {
    door.on("connection", (socket) => this.join(socket));
  }

  static async start(): Promise<Simulators> {
    const home = mkdtempSync(join(tmpdir(), "simulators-"));
    const names = DRIVERS.map((each) => `indi_simulator_${each}`).join(" ");
    const script = `ip link set lo up; while :; do indiserver -m 256 -p ${PORT} ${names}; sleep 0.2; done`;
    // In a family of processes of their own too: whoever ends it ends them all.
    const server = spawn("unshare", ["-n", "--pid", "--fork", "--kill-child", "sh", "-c", script], {
      env: { ...process.env, HOME: home },
      stdio: "ignore",
    });
    const door = createServer();
    await new Promise<void>((done) => door.listen(0, "127.0.0.1", done));
    const simulators = new Simulators(server, home, door);
    await simulators.answers();
    return simulators;
  }

  get port(): number {
    return (this.door.address() as AddressInfo).port;
  }

  /** Every line breaks. */
  drop(): void {
    for (const socket of this.sockets) socket.destroy();
  }

  /** @param driver "ccd"; a driver that is killed is started anew by the server */
  signal(driver: string, signal: string): void {
    for (const pid of childrenOf(this.inside, `indi_simulator_${driver}`))
      execFileSync("kill", [`-${signal}`, pid]);
  }

  /** The server dies and is started anew, with all its drivers. */
  async restart(): Promise<void> {
    execFileSync("kill", ["-KILL", this.inside]);
    this.drop();
    await this.answers();
  }

  /** Another program on the same server gives an order. */
  async tell(order: string): Promise<void> {
    const bridge = this.bridge();
    bridge.stdin?.write("<getProperties version='1.7'/>\n");
    await new Promise((done) => bridge.stdout?.once("data", done));
    bridge.stdin?.write(`${order}\n`);
    await new Promise((done) => setTimeout(done, 300));
    bridge.kill("SIGKILL");
  }

  /** Until the server says that something is so. */
  says(words: RegExp): Promise<void> {
    return new Promise((done) => {
      this.heard = (text) => {
        if (words.test(text)) done();
      };
    });
  }

  /** The server's process. */
  private get inside(): string {
    const [shell = ""] = childrenOf(String(this.server.pid));
    return childrenOf(shell, "indiserver")[0] ?? "";
  }

  async stop(): Promise<void> {
    this.drop();
    for (const bridge of this.bridges) bridge.kill("SIGKILL");
    await new Promise<void>((done) => this.door.close(() => done()));
    const ended = new Promise((done) => this.server.once("exit", done));
    for (const inside of childrenOf(String(this.server.pid))) spawnSync("kill", ["-KILL", inside]);
    await ended;
    rmSync(this.home, { recursive: true, force: true });
  }

  private bridge(): ChildProcess {
    const program = `const s=require("net").connect(${PORT},"127.0.0.1");s.on("error",()=>process.exit(1));s.on("close",()=>process.exit(0));process.stdin.pipe(s);s.pipe(process.stdout)`;
    const bridge = spawn("nsenter", ["-t", String(this.server.pid), "-n", process.execPath, "-e", program], {
      stdio: ["pipe", "pipe", "ignore"],
    });
    this.bridges.add(bridge);
    bridge.once("exit", () => this.bridges.delete(bridge));
    bridge.stdin?.on("error", () => {});
    return bridge;
  }

  private join(socket: Socket): void {
    this.sockets.add(socket);
    const bridge = this.bridge();
    socket.on("error", () => {});
    socket.on("data", (text) => void bridge.stdin?.write(text));
    bridge.stdout?.setEncoding("utf8").on("data", (text: string) => {
      const say = (): void => void socket.write(this.alter(text));
      this.heard(text);
      if (this.delayMs > 0) setTimeout(say, this.delayMs);
      else say();
    });
    bridge.once("exit", () => socket.destroy());
    socket.once("close", () => {
      this.sockets.delete(socket);
      bridge.kill("SIGKILL");
    });
  }

  /** Until the server takes a connection. */
  private async answers(): Promise<void> {
    for (let tries = 0; tries < 100; tries++) {
      const bridge = this.bridge();
      bridge.stdin?.write("<getProperties version='1.7'/>\n");
      const heard = await new Promise<boolean>((done) => {
        bridge.stdout?.once("data", () => done(true));
        bridge.once("exit", () => done(false));
      });
      bridge.kill("SIGKILL");
      if (heard) return;
    }
    throw new Error("the simulators' server did not come up");
  }
}

function childrenOf(pid: string, name = ""): string[] {
  const found = spawnSync("pgrep", ["-P", pid, ...(name === "" ? [] : ["-f", name])]);
  return found.stdout.toString().split("\n").filter(Boolean);
}
