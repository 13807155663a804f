/** Errors in the documented shape: HTTP status, JSON code, message. */

export class ApiError extends Error {
  constructor(
    readonly status: number,
    /** The documented JSON error code; 0 where the platform gives none. */
    readonly code: number,
    message: string,
    readonly errors?: object,
  ) {
    super(message);
  }

  body(): object {
    return { message: this.message, code: this.code, ...(this.errors ? { errors: this.errors } : {}) };
  }
}

export const unauthorized = (): ApiError => new ApiError(401, 0, "401: Unauthorized");
export const notFound = (): ApiError => new ApiError(404, 0, "404: Not Found");
export const unknownChannel = (): ApiError => new ApiError(404, 10003, "Unknown Channel");
export const unknownGuild = (): ApiError => new ApiError(404, 10004, "Unknown Guild");
export const unknownMember = (): ApiError => new ApiError(404, 10007, "Unknown Member");
export const unknownMessage = (): ApiError => new ApiError(404, 10008, "Unknown Message");
export const unknownWebhook = (): ApiError => new ApiError(404, 10015, "Unknown Webhook");
export const unknownUser = (): ApiError => new ApiError(404, 10013, "Unknown User");
export const unknownInteraction = (): ApiError => new ApiError(404, 10062, "Unknown interaction");
export const alreadyAcknowledged = (): ApiError =>
  new ApiError(400, 40060, "Interaction has already been acknowledged.");
export const tooLarge = (): ApiError => new ApiError(413, 40005, "Request entity too large");
export const missingAccess = (): ApiError => new ApiError(403, 50001, "Missing Access");
export const notTheAuthor = (): ApiError =>
  new ApiError(403, 50005, "Cannot edit a message authored by another user");
export const emptyMessage = (): ApiError => new ApiError(400, 50006, "Cannot send an empty message");
export const cannotMessageUser = (): ApiError =>
  new ApiError(403, 50007, "Cannot send messages to this user");
/** Not in the documentation's list: an application suspected of unwanted messages. */
export const applicationFlagged = (): ApiError =>
  new ApiError(403, 20026, "Your bot has been flagged by our anti-spam system for abusive behavior.");
export const openingDirectTooFast = (): ApiError =>
  new ApiError(403, 40003, "You are opening direct messages too fast");
export const missingPermissions = (): ApiError => new ApiError(403, 50013, "Missing Permissions");
export const invalidWebhookToken = (): ApiError => new ApiError(401, 50027, "Invalid Webhook Token");

/** A body that breaks a documented limit, with the path of the field at fault. */
export const invalidForm = (path: string, message: string): ApiError =>
  new ApiError(400, 50035, "Invalid Form Body", {
    [path]: { _errors: [{ code: "INVALID", message }] },
  });
