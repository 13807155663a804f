/** A way to the stand-in of a program's own, that can be cut. */
import { once } from "node:events";
import { type AddressInfo, connect, createServer, type Socket } from "node:net";

export interface Cable {
  /** Leads where the given address does. */
  readonly url: string;
  /** Every connection ends at once and none is made any more, as when a process is killed. */
  cut(): void;
}

export async function openCable(to: string): Promise<Cable> {
  const { hostname, port, pathname } = new URL(to);
  const ends = new Set<Socket>();
  const server = createServer((near) => {
    const far = connect(Number(port), hostname);
    for (const end of [near, far]) {
      ends.add(end);
      end.on("error", () => {});
      end.on("close", () => ends.delete(end));
    }
    near.pipe(far).pipe(near);
  });
  server.listen(0, hostname);
  await once(server, "listening");
  return {
    url: `http://${hostname}:${(server.address() as AddressInfo).port}${pathname}`,
    cut() {
      server.close();
      for (const end of ends) end.resetAndDestroy();
    },
  };
}
