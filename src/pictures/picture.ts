/** A finished picture. */
export interface Picture {
  readonly png: Uint8Array;
  /** What the picture shows, in one or two sentences. */
  readonly altText: string;
  readonly fileName: string;
}
