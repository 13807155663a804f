/** A line to a server that a test can cut or silence: a proxy on loopback that passes bytes on. */
import { connect, createServer, type Server, type Socket } from "node:net";

export interface Line {
  /** The server's address by way of this line. */
  readonly url: string;
  /** Answers no longer arrive, while what is sent still does. */
  swallowAnswers(): void;
  /** Nothing passes any more, and neither end is told. */
  silence(): void;
  /** Ends what passes now for the client alone: the server goes on believing in it. Later connections pass as usual. */
  cutForClient(): void;
  close(): Promise<void>;
}

export async function lineTo(target: string): Promise<Line> {
  const url = new URL(target);
  const [port, host] = [Number(url.port), url.hostname];
  const pairs: { readonly client: Socket; readonly server: Socket }[] = [];
  const proxy: Server = createServer((client) => {
    const server = connect(port, host);
    pairs.push({ client, server });
    client.on("data", (bytes) => server.write(bytes)).on("error", () => {});
    server.on("data", (bytes) => client.write(bytes)).on("error", () => {});
    client.on("close", () => client.listenerCount("data") > 0 && server.destroy());
    server.on("close", () => client.destroy());
  });
  await new Promise<void>((resolve) => proxy.listen(0, "127.0.0.1", resolve));
  url.port = String((proxy.address() as { port: number }).port);
  const each = (act: (pair: (typeof pairs)[number]) => void): void => pairs.forEach(act);
  return {
    url: url.href,
    swallowAnswers: () => each(({ server }) => server.removeAllListeners("data").resume()),
    silence: () =>
      each(({ client, server }) => {
        client.removeAllListeners("data").resume();
        server.removeAllListeners("data").resume();
      }),
    cutForClient: () =>
      each(({ client, server }) => {
        client.removeAllListeners("data");
        server.removeAllListeners("close").removeAllListeners("data").resume();
        client.destroy();
      }),
    close: async () => {
      each(({ client, server }) => {
        client.destroy();
        server.destroy();
      });
      await new Promise((resolve) => proxy.close(resolve));
    },
  };
}
