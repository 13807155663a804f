/** A frame that is sent along with its event: a form (RFC 7578) of two parts. */
import { Refusal } from "../../base/refusal.js";

/** Names of the parts. */
const EVENT_PART = "event";
const FRAME_PART = "frame";

export interface Form {
  /** As text. */
  readonly event: string;
  readonly frame: Uint8Array;
}

/**
 * Takes a form apart.
 * @throws {Refusal} code "no-form" for anything but a field `event` and a file `frame`
 */
export async function readForm(bytes: Buffer<ArrayBuffer>, contentType: string): Promise<Form> {
  const parts = await new Response(bytes, { headers: { "content-type": contentType } })
    .formData()
    .catch((error: Error) => {
      throw noForm({ cause: error });
    });
  const [event, frame] = [parts.get(EVENT_PART), parts.get(FRAME_PART)];
  if (typeof event !== "string" || frame === null || typeof frame === "string") throw noForm();
  return { event, frame: new Uint8Array(await frame.arrayBuffer()) };
}

function noForm(options?: ErrorOptions): Refusal {
  return new Refusal(
    "no-form",
    `This form cannot be read: it has to have a field "${EVENT_PART}" with the event and a file "${FRAME_PART}".`,
    options,
  );
}
