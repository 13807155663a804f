/** The way that bytes travel to a server and back. */
import { connect } from "node:net";

export interface WireEnd {
  /** Text that has come, in pieces of any length. */
  heard(text: string): void;
  /** The wire is cut; called once, and not after `close`. */
  cut(): void;
}

export interface Wire {
  send(text: string): void;
  close(): void;
}

/** Opens a wire; rejects when nobody answers. */
export type OpensWire = (end: WireEnd) => Promise<Wire>;

/** How long a server may take to accept a connection, real milliseconds. */
const CONNECT_MS = 5_000;

export function tcpWire(host: string, port: number): OpensWire {
  return (end) =>
    new Promise((resolve, reject) => {
      const socket = connect({ host, port, noDelay: true, keepAlive: true, keepAliveInitialDelay: 5_000 });
      socket.setEncoding("utf8");
      const tooLate = setTimeout(() => socket.destroy(new Error("no answer")), CONNECT_MS);
      let closed = false;
      socket.once("connect", () => {
        clearTimeout(tooLate);
        resolve({
          send: (text) => void socket.write(text),
          close: () => {
            closed = true;
            socket.destroy();
          },
        });
      });
      socket.on("data", (text: string) => end.heard(text));
      socket.once("error", reject);
      socket.once("close", () => {
        clearTimeout(tooLate);
        if (!closed) end.cut();
      });
    });
}
