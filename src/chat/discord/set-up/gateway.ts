/** Whether the platform's web sockets get through to this computer. */
import { GatewayOpcodes, GatewayVersion } from "discord.js";
import { WebSocket } from "ws";
import { type Millis, SECOND } from "../../../base/units.js";

const LONGEST_WAIT: Millis = 10 * SECOND;

/** Opens a connection, waits for the platform's first word, and leaves without logging in. */
export function gatewayGreets(url: string): Promise<boolean> {
  return new Promise((done) => {
    const socket = new WebSocket(`${url}/?v=${GatewayVersion}&encoding=json`);
    const end = (greeted: boolean): void => {
      clearTimeout(timer);
      socket.removeAllListeners();
      // Ending one that is still opening is an error too.
      socket.on("error", () => {});
      socket.terminate();
      done(greeted);
    };
    const timer = setTimeout(() => end(false), LONGEST_WAIT);
    socket.on("message", (data) => end(opcodeOf(String(data)) === GatewayOpcodes.Hello));
    socket.on("error", () => end(false));
    socket.on("close", () => end(false));
  });
}

function opcodeOf(text: string): unknown {
  try {
    return (JSON.parse(text) as { op?: unknown }).op;
  } catch {
    return null;
  }
}
