/** Telescopes that people work, each with an operator who observes what comes next and says what became of it. */
import { SECOND } from "../../src/base/units.js";
import { takeOnWord } from "../../src/estimates/taking.js";
import type { NightslateEvent } from "../../src/journal/events.js";
import type { Request } from "../../src/queue/request.js";
import { ByHandLink } from "../../src/telescope/by-hand/link.js";
import type { FrameFacts } from "../../src/telescope/folder/frame-facts.js";
import { FolderLink } from "../../src/telescope/folder/link.js";
import type { FitsSource } from "../../src/telescope/frames/byte-reader.js";
import { encodeFits } from "../../src/telescope/frames/fits.js";
import type { FrameStore } from "../../src/telescope/frames/frame-store.js";
import type { LinkHost, TelescopeLink } from "../../src/telescope/link.js";
import type { MakeFrame, Opens } from "./evening.js";

/** The operator hands every frame over, and presses when it is done. */
export const byHandOperated: Opens = (makeFrame) => {
  const link = new ByHandLink(storeOf(makeFrame));
  return operated(link, async (operator, request, index) => {
    const bytes = fitsOf(request, operator.host.clock.now());
    await link.handOver(async (keep) => {
      const frame = await keep(request, index, { bytes });
      await operator.press(request, [{ type: "frame.done", number: request.number, frame }]);
    });
    if (index < request.frames) return;
    await operator.wait(8 * SECOND);
    await operator.press(request, [{ type: "request.completed", number: request.number }]);
  });
};

/** The operator presses when it is taken; the camera program leaves the frames. */
export const folderOperated: Opens = (makeFrame) => {
  const left = new Map<string, FrameFacts>();
  let trouble: Error | null = null;
  const frames = storeOf((order) =>
    makeFrame(order).catch((error: Error) => {
      trouble = error;
      throw error;
    }),
  );
  const read = async (path: string): Promise<FrameFacts> => left.get(path) as FrameFacts;
  const link = new FolderLink({ frames, read, watch: () => async () => {} });
  return operated(link, async ({ host }, { number, exposureSeconds, filter }, index) => {
    const path = `#${number}-${index}-${host.clock.now()}.fits`;
    const startUnixMs = host.clock.now() - exposureSeconds * SECOND;
    left.set(path, { startUnixMs, exposureSeconds, filter, object: null, airmass: null, place: null });
    trouble = null;
    link.found(path);
    await link.settled();
    if (trouble !== null) throw trouble;
  });
};

type Observe = (operator: Operator, request: Request, index: number) => Promise<void>;

function storeOf(makeFrame: MakeFrame): FrameStore<FitsSource> {
  return {
    keep: (order) => makeFrame(order),
    removeOld: async () => {},
    close: async () => {},
    freeBytes: async () => Number.POSITIVE_INFINITY,
  };
}

function fitsOf({ exposureSeconds, filter }: Request, endUnixMs: number): Buffer {
  const began = new Date(endUnixMs - exposureSeconds * SECOND).toISOString().slice(0, -1);
  const pixels = new Uint16Array(4);
  return encodeFits({ width: 2, height: 2, pixels }, [
    { keyword: "DATE-OBS", value: began },
    { keyword: "EXPTIME", value: exposureSeconds },
    { keyword: "FILTER", value: filter },
  ]);
}

/** The link, with its operator at work from its start to its close. */
function operated(link: TelescopeLink, observe: Observe): TelescopeLink {
  let operator: Operator | null = null;
  const [start, close, heard] = [link.start.bind(link), link.close.bind(link), link.heard?.bind(link)];
  link.start = async (host) => {
    await start(host);
    operator = new Operator(host, observe);
    operator.look();
  };
  link.heard = (events) => {
    heard?.(events);
    operator?.look();
  };
  link.close = async () => {
    operator?.leave();
    await close();
  };
  return link;
}

class Operator {
  private isBusy = false;
  private gone = false;
  private callOff: () => void = () => {};

  constructor(
    readonly host: LinkHost,
    private readonly observe: Observe,
  ) {}

  /** Looks up whenever something has happened. */
  look(): void {
    if (this.isBusy || this.gone) return;
    this.isBusy = true;
    void this.work().finally(() => {
      this.isBusy = false;
    });
  }

  leave(): void {
    this.gone = true;
    this.callOff();
  }

  wait(ms: number): Promise<void> {
    const { clock } = this.host;
    return new Promise((done) => {
      this.callOff = clock.at(clock.now() + ms, done);
    });
  }

  /** Presses again until it is stored, unless the request is over. */
  async press({ number }: Request, events: readonly NightslateEvent[]): Promise<void> {
    await this.until((state) => (state.taken?.number === number ? events : []));
  }

  private async until(decide: Parameters<LinkHost["act"]>[0]): Promise<void> {
    while (!this.gone) {
      const stored = await this.host.act(decide, {}).then(
        () => true,
        () => false,
      );
      if (stored) return;
      await this.wait(10 * SECOND);
    }
  }

  private async work(): Promise<void> {
    while (!this.gone) {
      const { taken, requests } = this.host.state();
      const request = taken && requests.get(taken.number);
      if (request) await this.observing(request);
      else if (!(await this.takeNext())) return;
    }
  }

  private async takeNext(): Promise<boolean> {
    const { forecast, clock, state } = this.host;
    await this.until((now) => {
      const step = forecast.nextStep(clock.now());
      return step.do === "take" && !now.taken
        ? takeOnWord(now, step.request.number, clock.now(), forecast)
        : [];
    });
    return state().taken !== null;
  }

  private async observing(request: Request): Promise<void> {
    const { number, frames, framesDone, exposureSeconds } = request;
    const isOver = (): boolean => this.gone || this.host.state().taken?.number !== number;
    for (let index = framesDone + 1; index <= frames; index++) {
      await this.wait((exposureSeconds + (index === framesDone + 1 ? 40 : 4)) * SECOND);
      if (isOver()) return;
      const isFault = this.host.state().equipment.telescope === "fault";
      const failed = (reason: string) => this.press(request, [{ type: "request.failed", number, reason }]);
      if (isFault) return failed("the telescope reported a fault");
      try {
        await this.observe(this, request, index);
      } catch {
        return failed("the disk is full");
      }
    }
    while (!isOver()) await this.wait(2 * SECOND);
  }
}
